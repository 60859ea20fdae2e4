"""REST: its description, for programs and as a page."""

from __future__ import annotations

import re
from html import unescape

import yaml
from django.core.management import call_command
from django.test import Client


def test_schema_is_written_without_a_warning(tmp_path):
    call_command("spectacular", "--fail-on-warn", "--validate", "--file", str(tmp_path / "schema.yml"))

    assert (tmp_path / "schema.yml").read_text().startswith("openapi: 3")


def test_the_page_of_the_api_needs_nothing_from_elsewhere():
    page = Client().get("/api/").content.decode()
    found = re.findall(r"""(?:src|href)=["']([^"']+)["']""", page)
    addresses = [address for address in found if not address.startswith("#")]

    assert len(addresses) >= 3
    assert [address for address in addresses if not address.startswith("/")] == []
    for address in addresses:
        response = Client().get(address, follow=True)
        assert (address, response.status_code) == (address, 200)
        assert b"".join(response)


def test_the_page_of_the_api_leads_only_to_places_that_it_has():
    page = Client().get("/api/").content.decode()

    places = set(re.findall(r'href="#([^"]+)"', page))
    assert {"orders", "shape-Order", "shape-TakeOrder"} <= places
    assert places <= set(re.findall(r'id="([^"]+)"', page))


def test_the_page_of_the_api_shows_each_address_and_each_field_of_its_description():
    schema = yaml.safe_load(Client().get("/api/schema/").content)
    page = unescape(Client().get("/api/").content.decode())

    shown = re.findall(r'<span class="word">([A-Z]+)</span> <code>([^<]+)</code>', page)
    listed = [(method.upper(), path) for path, methods in schema["paths"].items() for method in methods]
    assert sorted(shown) == sorted(listed)
    sent = page.split('id="shape-TakeOrder"')[1].split("</dl>")[0]
    fields = schema["components"]["schemas"]["TakeOrder"]
    assert re.findall(r"<dt><code>([^<]+)</code>", sent) == list(fields["properties"])
    needed = re.findall(r'<code>([^<]+)</code> <span class="word">needed</span>', sent)
    assert sorted(needed) == sorted(fields["required"])
