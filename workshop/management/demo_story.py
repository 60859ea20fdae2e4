"""The story of the demo workshop: who orders what, for whom, how far it has come. All of it is invented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from workshop.planning.rules.alterations import Change

STYLE = "notched-collar-dress"


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
    DemoOrder("Ruth Amsel", "ruth.amsel@example.org", "555 0125", "a seventieth birthday", 3, 33,
              (DemoGarment("birthday dress", RUTH, "Wool crepe, night blue", "draft",
                           {"sleeve": "three-quarter", "neckline": "v"}, style="princess-dress"),),
              quote="sent"),
    DemoOrder("Ines Calder", "ines.calder@example.org", "555 0190", "every day", 1, 45,
              (DemoGarment("linen blouse", INES, "Linen, oatmeal", style="shirt-blouse"),), quote="none"),
)  # fmt: skip
