"""The demo workshop: an invented house with orders at every stage. All of it goes through the services.

Days are counted from today, so that something is always due this week, something late, something waiting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from io import BytesIO
from zoneinfo import ZoneInfo

from PIL import Image, ImageDraw

from costing import services as costing
from costing.models import Cloth
from costing.rules.care import CARE_FIELDS
from workshop.orders import queries as order_queries
from workshop.orders import services as orders
from workshop.orders.models import Garment, Order
from workshop.orders.services import GarmentWish
from workshop.people import services as people
from workshop.people.models import Staff, Wearer, Workshop
from workshop.planning import services as planning
from workshop.planning.models import Task
from workshop.planning.queries import open_garments
from workshop.planning.rules.alterations import Change

NAME = "The Blue Thimble"
PASSWORD = "harbour-row-4"
STAFF = (
    ("maren", "Maren Halloway", "owner", "cut prepare sew press finish fit alter", "16", "1"),
    ("pip", "Pip Ashdown", "apprentice", "cut prepare sew press", "9", "0.75"),
    ("juno", "Juno Vale", "apprentice", "prepare sew press finish alter", "11", "0.9"),
)
OWN_TIMES = {
    "juno": [(day, *span) for day in range(4) for span in ((time(9), time(13)), (time(14), time(17)))]
}
"""Who works at other times than the workshop is open."""
MACHINES = (("cutting table", 1, ("cut",)), ("overlocker", 2, ("sew", "alter")))
"""Scarce beside three people: each with how many there are and the kinds of work that hold one."""
SIGN_INS = tuple((username, role) for username, _, role, *_ in STAFF)
STYLE = "notched-collar-dress"
LAY_SECONDS = 1.0

Say = Callable[[str], None]


@dataclass(frozen=True)
class DemoWearer:
    """A wearer of the story: measurements in cm as the workshop wrote them down; fit notes in mm."""

    name: str
    measures: Mapping[str, str]
    age: int | None = None
    guardian: str = ""
    fit: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class DemoGarment:
    title: str
    wearer: DemoWearer
    cloth: str
    stage: str = "measure"
    choices: Mapping[str, str | int] = field(default_factory=dict)
    lining: str = ""
    style: str = STYLE
    found: tuple[Change, ...] = ()  # at its first fitting; without any it fits at once


@dataclass(frozen=True)
class DemoOrder:
    """An order of the story: taken so many days ago, due in so many."""

    client: str
    email: str
    phone: str
    occasion: str
    taken_ago: int
    due_in: int
    garments: tuple[DemoGarment, ...]
    quote: str = "accepted"  # none, sent, accepted
    together: tuple[str, ...] = ()  # titles of garments that are laid together on their shell
    deposit_paid: bool = True
    cloth_bought: bool = True


TAMSIN = DemoWearer(
    "Tamsin Okafor",
    {
        "stature": "168",
        "bust_girth": "94",
        "waist_girth": "76",
        "hip_girth": "101",
        "shoulder_length": "12,5",
    },
)
BEA = DemoWearer(
    "Bea Lindqvist",
    {"stature": "152", "bust_girth": "76", "waist_girth": "64", "hip_girth": "80"},
    age=12,
    guardian="Karin Lindqvist",
)
MARGUERITE = DemoWearer(
    "Marguerite Voss",
    {"stature": "171", "bust_girth": "112", "waist_girth": "99", "hip_girth": "118", "upper_arm_girth": "35"},
)
ORLA = DemoWearer(
    "Orla Quennell", {"stature": "165", "bust_girth": "90", "waist_girth": "72", "hip_girth": "98"}
)
NELL = DemoWearer(
    "Nell Quennell", {"stature": "159", "bust_girth": "86", "waist_girth": "68", "hip_girth": "93"}
)
SADIE = DemoWearer(
    "Sadie Farrow", {"stature": "176", "bust_girth": "98", "waist_girth": "82", "hip_girth": "107"}
)
WREN = DemoWearer(
    "Wren Farrow",
    {"stature": "116", "bust_girth": "60", "waist_girth": "56", "hip_girth": "63"},
    6,
    "Sadie Farrow",
)
HANNA = DemoWearer(
    "Hanna Brandt", {"stature": "163", "bust_girth": "102", "waist_girth": "86", "hip_girth": "108"}
)
INES = DemoWearer(
    "Ines Calder", {"stature": "170", "bust_girth": "88", "waist_girth": "70", "hip_girth": "96"}
)
RUTH = DemoWearer(
    "Ruth Amsel",
    {"stature": "162", "bust_girth": "107", "waist_girth": "94", "hip_girth": "112"},
    fit={"rounded_back": 12.0},
)

FOUND = (
    Change("shoulder", "up", 8.0, side="both", typed="0,8"),
    Change("side_seam", "in", 12.0, side="left", in_figure=False, typed="1,2"),
    Change("hem", "up", 25.0, typed="2,5"),
)

STORY = (
    DemoOrder("Hanna Brandt", "hanna.brandt@example.org", "555 0161", "a christening", 40, 2,
              (DemoGarment("christening guest dress", HANNA, "Linen, oatmeal", "delivered", found=FOUND),)),
    DemoOrder("Karin Lindqvist", "karin.lindqvist@example.org", "555 0133", "Bea's confirmation", 22, -1,
              (DemoGarment("confirmation dress", BEA, "Cotton sateen, ivory", "cut",
                           {"pleat_kind": "box", "pleats": 2}),)),
    DemoOrder("Tamsin Okafor", "tamsin.okafor@example.org", "555 0147", "a piano recital", 18, 5,
              (DemoGarment("recital dress", TAMSIN, "Wool crepe, night blue", "fit",
                           {"break_point": "half-way", "lining": "bodice"}, "Viscose lining, night blue"),)),
    DemoOrder("Marguerite Voss", "", "555 0112", "the new office", 9, 12,
              (DemoGarment("office dress", MARGUERITE, "Check wool, moss", "draft",
                           {"closure": "front buttons", "pleat_kind": "inverted", "pleats": 2}),),
              cloth_bought=False),
    DemoOrder("Orla Quennell", "orla.quennell@example.org", "555 0178", "the Quennell wedding", 15, 24,
              (DemoGarment("bride's going-away dress", ORLA, "Silk twill, pearl", "sew",
                           {"break_point": "waist", "lining": "full"}, "Viscose lining, pearl"),
               DemoGarment("bridesmaid's dress, Nell", NELL, "Cotton sateen, sea green", "cut"),
               DemoGarment("bridesmaid's dress, Sadie", SADIE, "Cotton sateen, sea green", "draft"),
               DemoGarment("flower girl's dress", WREN, "Cotton sateen, sea green", "draft",
                           {"sleeve": "puff", "lining": "bodice"}, "Viscose lining, pearl", "party-dress")),
              together=("bridesmaid's dress, Nell", "bridesmaid's dress, Sadie", "flower girl's dress")),
    DemoOrder("Sadie Farrow", "sadie.farrow@example.org", "555 0155", "the school year", 6, 17,
              (DemoGarment("school dress", WREN, "Cotton sateen, sea green", "cut",
                           {"sleeve_end": "cuff", "pleat_kind": "box"}, style="school-dress"),)),
    DemoOrder("Ruth Amsel", "ruth.amsel@example.org", "555 0125", "her seventieth birthday", 3, 33,
              (DemoGarment("birthday dress", RUTH, "Wool crepe, night blue", "draft",
                           {"sleeve": "three-quarter", "neckline": "v"}, style="princess-dress"),),
              quote="sent"),
    DemoOrder("Ines Calder", "ines.calder@example.org", "555 0190", "every day", 1, 45,
              (DemoGarment("linen blouse", INES, "Linen, oatmeal", style="shirt-blouse"),), quote="none"),
)  # fmt: skip

CLOTHS = (
    ("shell", "Cotton sateen, ivory", "98 % cotton, 2 % elastane", 1400, "13.80", False, 0.03),
    ("shell", "Cotton sateen, sea green", "98 % cotton, 2 % elastane", 1400, "13.80", False, 0.03),
    ("shell", "Wool crepe, night blue", "100 % wool", 1500, "34.50", False, 0.02),
    ("shell", "Check wool, moss", "80 % wool, 20 % polyamide", 1450, "29.00", True, 0.02),
    ("shell", "Silk twill, pearl", "100 % silk", 1380, "46.00", False, 0.0),
    ("shell", "Linen, oatmeal", "100 % linen", 1450, "18.20", False, 0.04),
    ("lining", "Viscose lining, night blue", "100 % viscose", 1400, "7.40", False, 0.02),
    ("lining", "Viscose lining, pearl", "100 % viscose", 1400, "7.40", False, 0.02),
    ("interfacing", "Fusible cotton, light", "100 % cotton", 900, "6.90", False, 0.0),
)
CARE = {
    "cotton": ("40", "oxygen", "line", "150", "p"),
    "wool": ("hand", "no", "flat", "110", "p-mild"),
    "silk": ("hand", "no", "line-shade", "110", "p-mild"),
    "linen": ("40", "no", "line", "200", "p"),
    "viscose": ("30-mild", "no", "line", "110", "p-mild"),
}
"""By the fibre that a composition names first, in the order of CARE_FIELDS. Our own invention."""
DYES = {
    "ivory": (240, 233, 214), "sea green": (96, 150, 134), "night blue": (38, 46, 84), "moss": (96, 104, 62),
    "pearl": (226, 222, 214), "oatmeal": (208, 192, 160), "light": (238, 238, 234),
}  # fmt: skip
"""Of the swatches, by the last word of a cloth's name."""
CHECK_MM = 60.0
NOTIONS = (
    ("thread", "Polyester thread, 500 m", 500_000.0, "3.40"),
    ("zip", "Concealed zip, 40 cm", 400.0, "2.60"),
    ("zip", "Concealed zip, 55 cm", 550.0, "2.90"),
    ("zip", "Concealed zip, 60 cm", 600.0, "3.10"),
    ("zip", "Concealed zip, 80 cm", 800.0, "3.90"),
    ("button", "Button, shell, 15 mm", 15.0, "0.55"),
    ("button", "Button, shell, 20 mm", 20.0, "0.70"),
    ("button", "Button, horn, 25 mm", 25.0, "1.10"),
    ("hook", "Hook and eye", None, "0.20"),
    ("tape", "Cotton stay tape, 1 m", None, "0.60"),
    ("elastic", "Elastic, 25 mm, 1 m", 1000.0, "0.90"),
    ("elastic", "Elastic, 25 mm, 2 m", 2000.0, "1.70"),
)
TERMS = (
    "The price holds for the style, cloth and measurements above, with alterations at the first fitting.\n"
    "Please tell us three days ahead if you cannot come to a fitting."
)


def is_loaded() -> bool:
    return Workshop.objects.filter(name=NAME).exists()


def load(now: datetime, say: Say) -> Workshop:
    """Build the whole demo workshop. It takes a minute or two: every pattern is drafted, every cloth laid."""
    workshop = _open_house(now - timedelta(days=60))
    owner = _staff(workshop, now - timedelta(days=60))
    for name, count, groups in MACHINES:
        planning.add_machine(workshop=workshop, name=name, count=count, groups=groups, by=owner, now=now)
    cloths = _price_list(workshop, workshop.day_of(now))
    interfacing = cloths["Fusible cotton, light"]
    orders.mark_cloth_bought(
        workshop=workshop,
        cloth=interfacing,
        length_mm=15_000.0,
        by=owner,
        now=now - timedelta(days=60),
        note="a roll",
    )
    for told in STORY:
        say(f"  {told.client}: {told.occasion}")
        _tell(workshop, owner, cloths, told, now)
    for garment in open_garments(workshop):
        planning.sync_tasks(garment=garment, now=now)
    planning.replan(workshop=workshop, now=now, seconds=5)
    return workshop


def _open_house(now: datetime) -> Workshop:
    return people.create_workshop(
        now=now,
        name=NAME,
        address="4 Harbour Row\nPort Ellery",
        email="hello@bluethimble.example",
        phone="555 0100",
        currency="EUR",
        length_unit="cm",
        time_zone="Europe/Lisbon",
        tax_label="VAT",
        tax_rate=Decimal("23"),
        tax_number="PE 000 111 222",
        pay_to="Transfer to account 0123 4567 8901, or in cash at the workshop.",
        deposit_share=Decimal("40"),
        quote_valid_days=21,
        quote_terms=TERMS,
        fitting_minutes=45,
    )


def _staff(workshop: Workshop, now: datetime) -> Staff:
    staff: list[Staff] = []
    for username, name, role, skills, wage, speed in STAFF:
        person = people.add_staff(
            workshop=workshop,
            name=name,
            username=username,
            password=PASSWORD,
            role=role,
            skills=skills.split(),
            hourly_wage=Decimal(wage),
            speed=Decimal(speed),
            working_week=OWN_TIMES.get(username, ()),
            by=staff[0] if staff else None,
            now=now,
        )
        staff.append(person)
    owner = staff[0]
    spans = [(day, time(9), time(13)) for day in range(5)] + [(day, time(14), time(18)) for day in range(5)]
    people.set_opening_hours(workshop=workshop, spans=[*spans, (5, time(9), time(13))], by=owner, now=now)
    return owner


def _price_list(workshop: Workshop, today: date) -> dict[str, Cloth]:
    costing.set_rates(
        workshop=workshop,
        hourly_wage=Decimal("14.50"),
        rent_per_month=Decimal("780"),
        power_per_month=Decimal("140"),
        fuel_per_month=Decimal("60"),
        wear_per_month=Decimal("90"),
        other_per_month=Decimal("80"),
        hours_per_month=Decimal("310"),
        profit_percent=Decimal("18"),
        minimum_price=Decimal("120"),
        round_to=Decimal("5"),
        work_allowance=Decimal("15"),
        thread_waste=Decimal("15"),
    )
    for kind, name, size, price in NOTIONS:
        costing.add_notion(
            workshop=workshop, today=today, kind=kind, name=name, size_mm=size, price_each=Decimal(price)
        )
    listed = {
        name: costing.add_cloth(
            workshop=workshop,
            today=today,
            use=use,
            name=name,
            composition=composition,
            supplier="Ellery Cloth Hall",
            width_mm=float(width),
            price_per_metre=Decimal(price),
            one_way=one_way,
            shrinkage_length=shrinkage,
            sold_by_mm=100.0,
            right_side="the side with the clearer twill" if "twill" in name else "",
            **_repeat(name),
            **_care(composition),
        )
        for use, name, composition, width, price, one_way, shrinkage in CLOTHS
    }
    for name, cloth in listed.items():
        costing.set_swatch(cloth=cloth, file=_swatch(name))
    return listed


def _repeat(name: str) -> dict[str, float]:
    return dict.fromkeys(("repeat_length_mm", "repeat_width_mm"), CHECK_MM) if "Check" in name else {}


def _care(composition: str) -> dict[str, str]:
    fibre = next(fibre for fibre in CARE if fibre in composition)
    return dict(zip(CARE_FIELDS, CARE[fibre], strict=True))


def _swatch(name: str) -> BytesIO:
    """A drawn swatch: threads crossing in the cloth's colour, with a check where it has one."""
    colour = DYES[name.rpartition(", ")[2]]
    picture = Image.new("RGB", (240, 240), colour)
    draw = ImageDraw.Draw(picture)
    shade, light = tuple(c * 9 // 10 for c in colour), tuple(min(255, c + 14) for c in colour)
    for place in range(0, 240, 4):
        draw.line((place, 0, place, 240), fill=shade)
        draw.line((0, place + 2, 240, place + 2), fill=light)
    for place in range(20, 240, 80) if "Check" in name else ():
        draw.rectangle((place, 0, place + 16, 240), fill=shade)
        draw.rectangle((0, place, 240, place + 16), fill=shade)
    file = BytesIO()
    picture.save(file, "PNG")
    file.seek(0)
    return file


def _tell(workshop: Workshop, owner: Staff, cloths: dict[str, Cloth], told: DemoOrder, now: datetime) -> None:
    """One order from its first day to where it stands today."""
    began = _opening(workshop, now - timedelta(days=told.taken_ago))
    client = people.create_client(
        workshop=workshop, name=told.client, email=told.email, phone=told.phone, by=owner, now=began
    )
    wearers: dict[str, Wearer] = {}
    for garment in told.garments:
        wearers[garment.wearer.name] = _wearer(client, garment.wearer, owner, began)
    order = orders.take_order(
        workshop=workshop,
        client=client,
        occasion=told.occasion,
        due_on=workshop.day_of(now) + timedelta(days=told.due_in),
        garments=[_wish(garment, wearers, cloths) for garment in told.garments],
        by=owner,
        now=began,
    )
    if told.quote == "none":
        return
    pairs = list(zip(order.garments.order_by("position"), told.garments, strict=True))
    for row, garment in pairs:
        _measure_and_draft(row, garment.wearer, owner, began)
    _lay_together(order, told.together, began)
    _agree(order, told, cloths, owner, began)
    for row, garment in pairs:
        _walk(row, garment, owner, began, now)


def _lay_together(order: Order, titles: tuple[str, ...], now: datetime) -> None:
    garments = order.garments.filter(title__in=titles).order_by("position")
    drafts = [draft for garment in garments if (draft := order_queries.current_draft(garment)) is not None]
    if drafts:
        cloth = order_queries.current_lays(drafts[0])[0].cloth
        orders.make_joint_lay(cloth=cloth, drafts=drafts, now=now, seconds=2 * LAY_SECONDS)


def _opening(workshop: Workshop, moment: datetime) -> datetime:
    """Ten in the morning of that day, or of the working day before it; never after the moment itself."""
    day = workshop.day_of(moment)
    if day.weekday() > 4:
        day -= timedelta(days=day.weekday() - 4)
    return min(moment, datetime.combine(day, time(10), ZoneInfo(workshop.time_zone)))


def _wearer(client: object, told: DemoWearer, owner: Staff, now: datetime) -> Wearer:
    born_on = None if told.age is None else (now - timedelta(days=round(365.25 * (told.age + 0.4)))).date()
    return people.create_wearer(
        client=client,  # type: ignore[arg-type]  # a Client; the story keeps it short
        name=told.name,
        born_on=born_on,
        is_minor=bool(told.guardian),
        guardian=told.guardian,
        consent_by=told.guardian,
        consent_on=now.date() if told.guardian else None,
        by=owner,
        now=now,
    )


def _wish(told: DemoGarment, wearers: dict[str, Wearer], cloths: dict[str, Cloth]) -> GarmentWish:
    chosen = {"shell": (cloths[told.cloth], ""), "interfacing": (cloths["Fusible cotton, light"], "")}
    if told.lining:
        chosen["lining"] = (cloths[told.lining], "")
    return GarmentWish(
        wearer=wearers[told.wearer.name],
        title=told.title,
        style=told.style,
        choices=told.choices,
        cloths=chosen,
    )


def _measure_and_draft(garment: Garment, told: DemoWearer, owner: Staff, now: datetime) -> None:
    if told.fit:
        wearer = garment.wearer
        people.note_fit(wearer=wearer, expected_version=wearer.version, fit=told.fit, by=owner, now=now)
        garment.refresh_from_db()
    measured = people.record_measurements(
        wearer=garment.wearer,
        unit="cm",
        typed=told.measures,
        taken_by=owner,
        taken_on=garment.workshop.day_of(now),
        confirmed=list(told.measures),
        now=now,
    )
    orders.set_measurements(garment=garment, measurements=measured, by=owner, now=now)
    draft = orders.draft_garment(garment=garment, by=owner, now=now)
    orders.make_lay_plans(draft=draft, now=now, seconds=LAY_SECONDS)
    orders.request_files(draft=draft, by=owner, now=now)
    orders.estimate_garment(garment=garment, now=now)


def _agree(order: Order, told: DemoOrder, cloths: dict[str, Cloth], owner: Staff, now: datetime) -> None:
    quote = orders.prepare_quote(order=order, by=owner, now=now)
    if told.quote == "sent":  # the customer may choose between two cloths
        other = cloths["Silk twill, pearl"]
        garment = order.garments.get(position=1)
        quote = orders.offer_alternative(quote=quote, garment=garment, cloth=other, by=owner, now=now)
    link = orders.send_quote(quote=quote, by=owner, now=now)
    if told.quote != "accepted":
        return
    later = now + timedelta(hours=5)
    orders.accept_quote(link=link, name=told.client, version=quote.version, now=later)
    if told.deposit_paid:
        orders.record_payment(
            order=order,
            amount=order_queries.balance(order).deposit,
            method="transfer",
            received_on=order.workshop.day_of(later),
            by=owner,
            now=later,
        )
    if told.cloth_bought:
        for cloth, length in _lengths(order, cloths):
            orders.mark_cloth_bought(
                workshop=order.workshop,
                cloth=cloth,
                length_mm=length,
                by=owner,
                now=later,
                note="Ellery Cloth Hall",
            )


def _lengths(order: Order, cloths: dict[str, Cloth]) -> list[tuple[Cloth, float]]:
    """What the order's lays take of each cloth."""
    by_pk = {cloth.pk: cloth for cloth in cloths.values()}
    sums: dict[int, float] = {}
    for garment in order.garments.all():
        draft = order_queries.current_draft(garment)
        for lay in order_queries.current_lays(draft) if draft else ():
            sums[lay.cloth_id] = sums.get(lay.cloth_id, 0.0) + lay.buy_length_mm
    return [(by_pk[pk], length) for pk, length in sums.items()]


ONWARD = ("draft", "cut", "sew", "fit", "deliver", "delivered")


def _walk(garment: Garment, told: DemoGarment, owner: Staff, began: datetime, now: datetime) -> None:
    """Move a garment onward to its stage, doing on the way what each move asks for."""
    moment = began + timedelta(days=1)
    for to in ONWARD[1 : ONWARD.index(told.stage) + 1]:
        garment.refresh_from_db()
        if to == "deliver":
            moment = _try_on(garment, told.found, owner, moment)
        _do_what_is_asked(garment, to, owner, moment)
        moment = min(moment + timedelta(days=1), now)
        orders.move_garment(garment=garment, to=to, by=owner, now=moment)


def _try_on(garment: Garment, found: Sequence[Change], owner: Staff, moment: datetime) -> datetime:
    """Hold the fitting; where it found something, see to it and hold another. Returns when it fits."""
    if found:
        notes = "Sits well at the neck, loose at the shoulder."
        moment = _hold(garment, owner, moment, outcome="alteration", notes=notes, found=found)
        moment = _work(garment.tasks.filter(done_at=None, group="alter"), owner, moment)
        garment.refresh_from_db()
        orders.move_garment(garment=garment, to="fit", by=owner, now=moment)
        moment += timedelta(days=1)
    return _hold(garment, owner, moment, outcome="fits", notes="Sits well at the shoulder.")


def _hold(
    garment: Garment,
    owner: Staff,
    moment: datetime,
    *,
    outcome: str,
    notes: str,
    found: Sequence[Change] = (),
) -> datetime:
    """Book a fitting and hold it; return when it is over."""
    fitting = planning.book_fitting(
        garment=garment, starts_at=moment + timedelta(minutes=1), now=moment, by=owner, fitter=owner
    )
    planning.hold_fitting(
        fitting=fitting, outcome=outcome, notes=notes, changes=found, by=owner, now=fitting.ends_at
    )
    garment.refresh_from_db()
    return fitting.ends_at


def _do_what_is_asked(garment: Garment, to: str, owner: Staff, moment: datetime) -> None:
    draft = order_queries.current_draft(garment)
    if to == "sew" and draft is not None:
        for line in order_queries.cutting_lines(draft):
            orders.tick_cutting_line(line=line, by=owner, now=moment)
    if to == "fit":
        _finish(garment, owner, moment, after_fitting=False)
    if to == "delivered":
        _finish(garment, owner, moment, after_fitting=True)
        orders.issue_invoice(order=garment.order, kind="final", by=owner, now=moment)
        orders.record_payment(
            order=garment.order,
            amount=order_queries.balance(garment.order).due,
            method="card",
            received_on=garment.workshop.day_of(moment),
            by=owner,
            now=moment,
        )


def _finish(garment: Garment, owner: Staff, moment: datetime, *, after_fitting: bool) -> None:
    """Do the garment's tasks of one half, with the timer running as long as they were planned to take."""
    planning.sync_tasks(garment=garment, now=moment)
    left = garment.tasks.filter(done_at=None).order_by("position")
    due = [task for task in left if task.after_fitting == after_fitting or task.group == "cut"]
    _work(due, owner, moment)


def _work(tasks: Iterable[Task], owner: Staff, moment: datetime) -> datetime:
    """Do the tasks one after the other with the timer running; return when the last is done."""
    for task in tasks:
        planning.start_task(task=task, staff=owner, now=moment)
        moment += timedelta(minutes=task.minutes_planned)
        planning.stop_task(task=task, staff=owner, now=moment, done=True)
    return moment
