"""A workshop with work under way, in a process and a database of its own.

Run: python -m tests.browser.furnished (with DATABASE_URL). It says on its standard output who may sign in and
what is there.
"""

from __future__ import annotations

import json
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from os import environ
from pathlib import Path
from typing import TYPE_CHECKING

from tests.rig.processes import ROOT, python

if TYPE_CHECKING:  # what needs Django set up is imported once it is
    from tests.workshop.orders.house import House
    from workshop.orders.models import JointLay


@dataclass(frozen=True)
class Furnished:
    """Where it is served, who works there, and what hangs there.

    ``accepted``: the number of an order whose garment is being cut; ``taken``: of one still to be measured.
    """

    site: str
    owner: str
    apprentice: str
    letter: str
    accepted: int
    taken: int
    cut_garment: int
    new_garment: int
    client: int
    wearer: int
    cloth: int
    notion: int
    staff: int
    fitting: int
    quote: int
    task: int
    machine: int
    joint: int


def furnish(folder: Path) -> Iterator[Furnished]:
    """Set it up in a folder and serve it until the caller is done."""
    port = _free_port()
    env = {
        "DATABASE_URL": f"sqlite:///{folder / 'furnished.sqlite3'}",
        "WORKSHOP_VAR": str(folder),
        "WORKSHOP_JOBS": "embedded",
        "WORKSHOP_LOG_LEVEL": "WARNING",
        "DJANGO_SETTINGS_MODULE": "workshop.settings",
        "PYTHONUNBUFFERED": "1",
        "PORT": str(port),
    }
    made = subprocess.run(
        [sys.executable, "-m", "tests.browser.furnished"],
        cwd=ROOT,
        env={**environ, **env},
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    server = python("manage.py", "serve", env=env, log=folder / "serve.log")
    try:
        server.wait_for_output("The workshop is open at")
        yield Furnished(site=f"http://localhost:{port}", **json.loads(made.stdout))
    finally:
        server.kill()


def _free_port() -> int:
    with socket.socket() as any_port:
        any_port.bind(("127.0.0.1", 0))
        number: int = any_port.getsockname()[1]
        return number


def _laid_together(house: House) -> JointLay:
    """Two garments of one order on one lay."""
    from django.utils import timezone

    from tests.workshop.desk import made
    from tests.workshop.orders import house as built
    from workshop.orders.services import make_joint_lay

    now = timezone.now()
    order = made.take(house, wishes=[built.wish(house), built.wish(house)])
    drafts = [built.draft(house, garment, now=now) for garment in order.garments.order_by("pk")]
    for draft in drafts:
        built.lay(draft, now=now)
    return make_joint_lay(cloth=house.satin, drafts=drafts, now=now, seconds=1.0)


def main() -> None:
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0)
    from costing.models import Notion
    from tests.workshop.desk import made
    from tests.workshop.orders import house as built

    house = made.open_house()
    cut = made.to_cut(house)
    fitting = made.book(house, cut)
    letter = made.quoted(house)
    joint = _laid_together(house)
    taken = made.take(house)
    there = Furnished(
        site="",
        owner=house.owner.user.username,
        apprentice=house.apprentice.user.username,
        letter=f"/c/{letter.secret}/",
        accepted=cut.order.number,
        taken=taken.number,
        cut_garment=cut.pk,
        new_garment=built.garment_of(taken).pk,
        client=house.client.pk,
        wearer=house.wearer.pk,
        cloth=house.satin.pk,
        notion=Notion.objects.filter(workshop=house.workshop).order_by("pk")[0].pk,
        staff=house.apprentice.pk,
        fitting=fitting.pk,
        quote=letter.order.quotes.get().pk,
        task=cut.tasks.order_by("position")[0].pk,
        machine=house.workshop.machines.create(name="overlocker", groups=["finish"]).pk,
        joint=joint.pk,
    )
    rows = asdict(there)
    del rows["site"]
    sys.stdout.write(json.dumps(rows))


if __name__ == "__main__":
    main()
