"""The house of the demo workshop: settings, people, machines, price list. All of it is invented."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from io import BytesIO

from PIL import Image, ImageDraw

from costing import services as costing
from costing.models import Cloth
from costing.rules.care import CARE_FIELDS
from workshop.people import services as people
from workshop.people.models import Staff, Workshop
from workshop.planning import services as planning

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


def open_house(now: datetime) -> Workshop:
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


def hire(workshop: Workshop, now: datetime) -> Staff:
    """Take on everybody and set the opening hours; returns the owner."""
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


def note_machines(workshop: Workshop, owner: Staff, now: datetime) -> None:
    for name, count, groups in MACHINES:
        planning.add_machine(workshop=workshop, name=name, count=count, groups=groups, by=owner, now=now)


def set_prices(workshop: Workshop, today: date) -> dict[str, Cloth]:
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
