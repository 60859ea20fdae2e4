"""One order from the first visit to the handing over, through real pages, as owner, apprentice and customer.

Only the house itself (people, hours, prices) is set up by services; everything else is clicked and typed.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from io import BytesIO

import icalendar
import pypdfium2
import pytest
from django.core import mail
from django.utils import timezone
from playwright.sync_api import expect

from costing import services as costing
from tests.browser.person import PASSWORD, Person
from tests.rig.browser import wide_takes_long
from workshop.people import services as people
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting

pytestmark = pytest.mark.browser

FILES = 240_000
"""How long the background jobs may take on a busy machine, ms."""


@pytest.fixture
def house(transactional_db):
    """A workshop with an owner, an apprentice, hours on every day, a price list and cloth still to buy."""
    now = timezone.now()
    workshop = people.create_workshop(
        now=now,
        name="Thread & Tide",
        email="hello@thread.example",
        phone="555 0101",
        currency="EUR",
        length_unit="cm",
        time_zone="Europe/Lisbon",
        tax_label="VAT",
        tax_rate=Decimal(21),
        deposit_share=Decimal(40),
        fitting_minutes=45,
    )
    owner = _hire(workshop, "Fenna", "owner", ["fit"], None)
    _hire(workshop, "Ilse", "apprentice", ["cut", "prepare", "sew", "press", "finish", "alter"], owner)
    spans = [(day, time(8), time(18)) for day in range(7)]
    people.set_opening_hours(workshop=workshop, spans=spans, by=owner, now=now)
    _prices(workshop)
    return workshop


def _hire(workshop: Workshop, name: str, role: str, skills: list[str], by: Staff | None) -> Staff:
    return people.add_staff(
        workshop=workshop,
        name=name,
        username=name.lower(),
        password=PASSWORD,
        role=role,
        skills=skills,
        by=by,
        now=timezone.now(),
    )


def _prices(workshop: Workshop) -> None:
    costing.set_rates(
        workshop=workshop,
        hourly_wage=Decimal(14),
        other_per_month=Decimal(900),
        hours_per_month=Decimal(220),
        profit_percent=Decimal(15),
        minimum_price=Decimal(0),
        round_to=Decimal(5),
        work_allowance=Decimal(15),
        thread_waste=Decimal(15),
    )
    today = workshop.day_of(timezone.now())
    for use, name, width, price in (
        ("shell", "Cotton sateen", 1400.0, "13.80"),
        ("interfacing", "Fusible cotton", 900.0, "6.90"),
    ):
        costing.add_cloth(
            workshop=workshop,
            today=today,
            use=use,
            name=name,
            width_mm=width,
            price_per_metre=Decimal(price),
            sold_by_mm=100.0,
        )
    for kind, name, size, price in (
        ("thread", "Thread, 500 m", 500_000.0, "3.40"),
        ("zip", "Zip, 60 cm", 600.0, "3.10"),
        ("button", "Button, 20 mm", 20.0, "0.70"),
        ("hook", "Hook and eye", None, "0.20"),
    ):
        costing.add_notion(
            workshop=workshop, today=today, kind=kind, name=name, size_mm=size, price_each=Decimal(price)
        )


@wide_takes_long
def test_an_order_goes_from_measurements_to_a_delivered_dress(house, people_at):
    owner = people_at()
    owner.sign_in("fenna")
    owner.sees("Nothing hangs on the rail.")

    _take_the_order(owner)
    garment = _measure(owner)
    _draft_and_look(owner)
    _files_and_lays(owner, garment)
    letter = _quote(owner, garment)

    customer = people_at()
    _accept_and_book(customer, letter)

    _look_at_the_week(owner)
    owner.go(garment)
    owner.sees("The deposit is not in yet.")
    _pay(owner, garment, "the deposit")
    owner.go(garment)
    owner.sees("Buy cloth:")
    _buy_cloth(owner)
    owner.go(garment)
    owner.press("To cut")

    apprentice = people_at()
    _cut(apprentice)
    _sew(apprentice)

    owner.go(garment)
    owner.press("To fit")
    _hold_fitting(owner, "to be altered", place="side seam in", amount="1")
    owner.go(garment)
    owner.sees("Stage: sew")
    customer.go(letter)
    customer.sees("It is being sewn.")
    apprentice.go("/bench/")
    apprentice.sees("side seam in by 1.0 cm, both sides")
    _do_all(apprentice)

    owner.go(garment)
    owner.press("To fit")
    owner.follow("Book a fitting")
    owner.page.select_option("[name=slot]", index=1)
    owner.press("Book it")
    _hold_fitting(owner, "fits")
    owner.go(garment)
    owner.press("To deliver")
    apprentice.go("/bench/")
    _do_all(apprentice)
    _charge_and_hand_over(owner, garment)

    customer.go(letter)
    customer.sees("It is with you. Wear it well.")
    customer.sees(re.compile(r"Still to pay\s*EUR\s0\.00"))
    owner.go("/desk/")
    owner.sees("Nothing hangs on the rail.")
    owner.go("/desk/money/")
    owner.sees("Every invoice is paid.")


def _take_the_order(owner: Person) -> None:
    due_on = (datetime.now(UTC) + timedelta(days=40)).date()
    page = owner.page
    owner.go("/desk/orders/new/")
    page.fill("[name=client_name]", "Karin Lund")
    page.fill("[name=client_email]", "karin@lund.example")
    page.fill("[name=occasion]", "a confirmation")
    page.fill("[name=due_on]", due_on.isoformat())
    page.fill("[name=wearer_name]", "Bea Lund")
    page.fill("[name=born_on]", (due_on - timedelta(days=4600)).isoformat())
    page.check("[name=is_minor]")
    page.fill("[name=guardian]", "Karin Lund")
    page.fill("[name=consent_by]", "Karin Lund")
    page.fill("[name=consent_on]", datetime.now(UTC).date().isoformat())
    page.fill("[name=title]", "confirmation dress")
    page.select_option("[name='notched-collar-dress--pleat_kind']", "box")
    page.fill("[name='notched-collar-dress--pleats']", "2")
    page.select_option("[name=shell]", label="Cotton sateen")
    page.select_option("[name=interfacing]", label="Fusible cotton")
    owner.press("Take the order")
    owner.sees("Order 1: Karin Lund")
    owner.sees("Measure Bea Lund.")


def _measure(owner: Person) -> str:
    """Fractions, a comma, a unit of its own; a hip that is questioned, mended once, then confirmed."""
    page = owner.page
    owner.follow("confirmation dress")
    garment = page.url
    owner.follow("Measure")
    page.fill("[name=stature]", "152")
    page.fill("[name=bust_girth]", "29 15/16 in")
    page.fill("[name=waist_girth]", "64,5")
    page.fill("[name=hip_girth]", "812 mm")
    page.fill("[name=shoulder_length]", "nonsense")
    owner.press("Keep these measurements")
    fault = page.locator("td.with-fault .fault")
    expect(fault).to_have_count(1)
    assert page.input_value("[name=bust_girth]") == "29 15/16 in"
    page.fill("[name=shoulder_length]", "19")
    owner.press("Keep these measurements")
    owner.sees("Please look again.")
    page.fill("[name=shoulder_length]", "11,5")
    owner.press("Keep these measurements")
    if page.get_by_text("Please look again.").count():
        for box in page.locator("[name=confirmed]").all():
            box.check()
        owner.press("Keep these measurements")
    owner.sees("The measurements are kept.")
    owner.sees("Draft the pattern.")
    return garment


def _draft_and_look(owner: Person) -> None:
    owner.press("Draft the pattern")
    owner.sees("all checks passed")
    page = owner.page
    expect(page.locator(".pieces figure")).to_have_count(8)
    owner.follow("Measures")  # a phone has them folded
    bust = page.get_by_role("row", name=re.compile(r"^bust")).first
    expect(bust).to_contain_text("76.0")  # 29 15/16 in of the body
    page.get_by_text("checks with their values and limits").click()
    assert page.get_by_role("row", name=re.compile("girth: bust")).get_by_text("right").count() == 1
    assert page.get_by_text("wrong", exact=True).count() == 0


def _files_and_lays(owner: Person, garment: str) -> None:
    """The progress bars go, and the eight files and two lays are there."""
    page = owner.page
    expect(page.locator("progress")).to_have_count(0, timeout=FILES)
    owner.go(garment)
    links = page.get_by_role("link", name=re.compile("^Pattern (on|as|for|to) "))
    expect(links).to_have_count(8)
    tiles = pypdfium2.PdfDocument(BytesIO(owner.download("Pattern on A4 sheets")))
    assert len(tiles) > 10
    assert owner.download("Pattern for a cutter (DXF)").startswith(b"  0\n") or owner.download(
        "Pattern for a cutter (DXF)"
    ).startswith(b"  0\r\n")
    owner.sees(re.compile(r"Shell: Cotton sateen\s*Buy\s*\d"))
    owner.sees("Interfacing: Fusible cotton")
    expect(page.locator("svg.lay-plan")).to_have_count(2)
    owner.follow("Line by line, with the operations")
    owner.sees("Cotton sateen (shell)")
    owner.sees("Share of the workshop")


def _quote(owner: Person, garment: str) -> str:
    owner.go(garment)
    owner.follow(re.compile(r"^Order 1"))
    owner.press("Prepare the quote")
    owner.sees("Nobody has seen this version yet.")
    owner.press("Send it to Karin Lund")
    owner.sees("is sent and frozen")
    letter = owner.page.locator("a.link-address").get_attribute("href")
    assert letter is not None
    for _ in range(60):
        if mail.outbox:
            break
        owner.page.wait_for_timeout(500)
    assert mail.outbox[-1].to == ["karin@lund.example"]
    assert letter in mail.outbox[-1].body
    assert [name for name, *_ in mail.outbox[-1].attachments] == ["quote for order 1, version 1.pdf"]
    return letter


def _accept_and_book(customer: Person, letter: str) -> None:
    page = customer.page
    customer.go(letter)
    customer.sees("Dear Karin Lund,")
    customer.sees("What it costs")
    assert page.locator("svg.garment").count() == 1
    assert customer.download("The quote as a PDF").startswith(b"%PDF")
    page.get_by_label("Your name").fill("Karin Lund")
    customer.press("Yes, please make it")
    customer.sees("We have your answer")
    times = page.locator("[name=starts_at]")
    assert times.count() > 3
    # The plan is being made meanwhile, which may move the first times that are offered.
    page.get_by_text("Later days").click()
    times.last.check()
    customer.press("Book this time")
    customer.sees("Your fitting is booked.")
    booked = Fitting.objects.get()
    calendar = icalendar.Calendar.from_ical(customer.download("Put it in my calendar"))
    event = calendar.walk("VEVENT")[0]
    assert event["DTSTART"].dt.astimezone(UTC) == booked.starts_at
    assert event["DTEND"].dt.astimezone(UTC) == booked.ends_at


def _look_at_the_week(owner: Person) -> None:
    """The plan that the answer asked for is made, and the week in which it begins is drawn."""
    owner.go("/desk/week/")
    expect(owner.page.locator("progress")).to_have_count(0, timeout=FILES)
    tasks = owner.page.get_by_role("link", name="confirmation dress")
    for _ in range(6):
        if tasks.count():
            break
        owner.follow("The week after")
    assert tasks.count() > 0
    expect(owner.page.locator(".week svg:visible").first).to_be_visible()


def _pay(owner: Person, garment: str, what: str) -> None:
    """Take what the page of payments says: the deposit, or all that is left."""
    owner.go(garment)
    owner.follow(re.compile(r"^Order 1"))
    owner.follow("Take a payment")
    row = {"the deposit": "Deposit", "the rest": "Still to pay"}[what]
    amount = owner.page.locator(f"dt:has-text('{row}') + dd").inner_text().replace("\u00a0", " ")
    owner.page.fill("[name=amount]", amount.removeprefix("EUR "))
    owner.page.select_option("[name=method]", "card")
    owner.press("Note it and write the receipt")
    owner.sees("The receipt is being written.")


def _buy_cloth(owner: Person) -> None:
    for name in ("Cotton sateen", "Fusible cotton"):
        owner.go("/desk/prices/")
        owner.follow(name)
        owner.page.fill("[name=length]", "6")
        owner.press("Note it")
        owner.sees("set aside for confirmation dress")


def _cut(apprentice: Person) -> None:
    page = apprentice.page
    apprentice.sign_in("ilse")
    apprentice.sees("Yours to cut")
    apprentice.go("/bench/cutting/")
    apprentice.sees("For BL,")
    apprentice.follow("Open the cutting list")
    expect(page.locator("svg.lay-plan")).to_have_count(2)
    assert apprentice.download("Pattern on one full-size sheet").startswith(b"%PDF")
    lines = page.locator(".tick").count()
    assert lines == 10
    for _ in range(lines):
        page.locator(".tick:not(.cut)").first.get_by_role("button").click()
        page.wait_for_load_state()
    assert page.locator(".tick.cut").count() == lines
    apprentice.press("All is cut: on to sewing")
    apprentice.sees("goes on to sewing")
    apprentice.sees("Sewing order")


def _sew(apprentice: Person) -> None:
    """Begin a task, stop for now, then do every task that can be done before the fitting."""
    apprentice.go("/bench/")
    apprentice.press("Begin")
    expect(apprentice.page.locator(".clock")).to_have_text(re.compile(r"^00:00:\d\d$"))
    apprentice.press("Stop for now")
    expect(apprentice.page.locator(".clock")).to_have_count(0)
    _do_all(apprentice)


def _do_all(apprentice: Person) -> None:
    page = apprentice.page
    for _ in range(20):
        apprentice.go("/bench/")
        if page.get_by_role("button", name="Begin").count() == 0:
            return
        apprentice.press("Begin")
        if page.get_by_role("button", name="It is done").count() == 0:
            return  # what is left waits for the fitting: the page has said so
        apprentice.press("It is done")
    pytest.fail("the bench never runs out of tasks")


def _hold_fitting(owner: Person, outcome: str, *, place: str = "", amount: str = "") -> None:
    """Time passes until the fitting that is booked; then the owner says how it went."""
    fitting = Fitting.objects.get(held_at=None, cancelled_at=None)
    ago = timezone.now() - timedelta(minutes=50)
    Fitting.objects.filter(pk=fitting.pk).update(starts_at=ago, ends_at=ago + timedelta(minutes=45))
    owner.go("/desk/")
    owner.follow("Say how the fitting of confirmation dress went")
    owner.page.get_by_label(outcome, exact=True).check()
    owner.page.fill("[name=notes]", "Shoulders sit well.")
    if place:
        owner.page.select_option("[name=place_1]", label=place)
        owner.page.select_option("[name=side_1]", label="both")
        owner.page.fill("[name=amount_1]", amount)
    owner.press("Keep it")
    owner.sees("Noted.")


def _charge_and_hand_over(owner: Person, garment: str) -> None:
    owner.go(garment)
    owner.sees("is still to pay")
    owner.follow(re.compile(r"^Order 1"))
    owner.press("Issue the final invoice")
    owner.sees("Its PDF is being written.")
    _pay(owner, garment, "the rest")
    owner.sees(re.compile(r"Still to pay\s*EUR\s0\.00"))
    expect(owner.page.locator("progress")).to_have_count(0, timeout=FILES)
    owner.page.reload()
    papers = owner.page.get_by_role("link", name=re.compile(r"^(invoice|receipt) \d{4}-000[12]\.pdf$"))
    expect(papers).to_have_count(4)
    owner.go(garment)
    owner.press("To delivered")
    owner.sees("Stage: delivered")
