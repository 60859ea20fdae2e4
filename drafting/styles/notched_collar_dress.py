"""The first style: a dress with a notched collar grown on to its front, and a pleated skirt. Sleeveless."""

from __future__ import annotations

from collections.abc import Mapping

from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch
from drafting.body import Body
from drafting.pattern import Chord, Draft, Finished, Level, NotionNeed
from drafting.styles import dress_bodice as bodice
from drafting.styles import dress_skirt as skirt
from drafting.styles.choices import Choice, ChoiceValue, Style
from drafting.styles.dress_notes import sewing_notes
from drafting.styles.dress_plan import DressPlan, plan_dress
from drafting.styles.dress_seams import continuations, seams

NAME = "notched-collar-dress"
ENGINE = "1"


def _options(*pairs: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    return pairs


_BY_HOUSE = "Left empty, or 0, it follows the house rule, in proportion to the wearer."

CHOICES = (
    Choice(
        "break_point",
        "Where the lapel breaks",
        "option",
        "armhole line",
        _options(
            ("armhole line", "at the armhole line"),
            ("half-way", "half-way to the waist"),
            ("waist", "just above the waist"),
        ),
        help="The lower it breaks, the deeper the front is open.",
    ),
    Choice("lapel_width", "Lapel width", "length", 0.0, low=25.0, high=160.0, help=_BY_HOUSE),
    Choice("collar_width", "Collar width at the back", "length", 0.0, low=30.0, high=120.0, help=_BY_HOUSE),
    Choice("notch_width", "Notch", "length", 0.0, low=8.0, high=60.0, help=_BY_HOUSE),
    Choice(
        "pleat_kind",
        "Pleats",
        "option",
        "knife",
        _options(("knife", "knife pleats"), ("box", "box pleats"), ("inverted", "inverted pleats")),
    ),
    Choice(
        "pleats",
        "Pleats on each quarter",
        "count",
        3,
        low=1,
        high=12,
        help="Front and back have twice as many each.",
    ),
    Choice("pleat_depth", "Depth of a pleat", "length", 0.0, low=8.0, high=120.0, help=_BY_HOUSE),
    Choice(
        "skirt_length",
        "Skirt length from the waist",
        "length",
        0.0,
        low=60.0,
        high=1500.0,
        help="Left empty, or 0, it ends at the knee.",
    ),
    Choice(
        "closure",
        "Closure",
        "option",
        "centre-back zip",
        _options(
            ("centre-back zip", "zip at the centre back"), ("front buttons", "buttons in front to the hem")
        ),
    ),
    Choice(
        "lining",
        "Lining",
        "option",
        "none",
        _options(("none", "none: armholes faced"), ("bodice", "bodice only"), ("full", "bodice and skirt")),
    ),
)

NEEDS = (
    "stature",
    "bust_girth",
    "waist_girth",
    "hip_girth",
    "neck_base_girth",
    "shoulder_length",
    "back_width",
    "chest_width",
    "bust_point_width",
    "neck_to_bust_point",
    "front_waist_length",
    "back_waist_length",
    "armscye_depth",
    "armscye_girth",
    "waist_to_hip",
    "waist_to_knee",
    "waist_height",
)


def draft_dress(body: Body, choices: Mapping[str, ChoiceValue], house: House) -> Draft:
    """Draw every piece of the dress. Raises: CannotDraft, BadChoice."""
    plan = plan_dress(body, choices, house)
    sketches = {sketch.name: sketch for sketch in _sketches(plan)}
    pieces = tuple(sketch.piece() for sketch in sketches.values())
    return Draft(
        NAME,
        dict(choices),
        body,
        dict(house),
        ENGINE,
        pieces,
        seams(plan, sketches),
        continuations(plan, sketches),
        _levels(plan, sketches),
        tuple(skirt.pleat_run(plan, sketches[name]) for name in ("skirt front", "skirt back")),
        tuple(dart for sketch in sketches.values() for dart in sketch.finished_darts()),
        (
            sketches["front bodice"].roll_line(
                plan.collar.break_point, plan.collar.roll_neck, ("collar notch", "lapel top", "lapel edge")
            ),
        ),
        _notions(plan),
        _finished(plan),
        notes=sewing_notes(plan),
    )


def _sketches(plan: DressPlan) -> list[Sketch]:
    lines = bodice.front_lines(plan)
    made = [
        bodice.front_bodice(plan, lines),
        bodice.back_bodice(plan),
        bodice.front_facing(plan, lines),
        bodice.back_neck_facing(plan),
    ]
    if plan.lining == "none":
        made += [
            bodice.armhole_facing(plan, plan.bodice.front, "front armhole facing", is_front=True),
            bodice.armhole_facing(plan, plan.bodice.back, "back armhole facing", is_front=False),
        ]
    made += [skirt.skirt_front(plan), skirt.skirt_back(plan)]
    if not plan.zip_closure:
        made.append(skirt.skirt_front_facing(plan))
    if plan.lining != "none":
        made += [bodice.front_lining(plan, lines), bodice.back_lining(plan)]
    if plan.skirt_lined:
        made += [skirt.skirt_lining(plan, is_front=True), skirt.skirt_lining(plan, is_front=False)]
    return made


def _levels(plan: DressPlan, sketches: Mapping[str, Sketch]) -> tuple[Level, ...]:
    body, house = plan.body, plan.house
    hip = [skirt.hip_chords(plan, sketches[name]) for name in ("skirt front", "skirt back")]
    return (
        Level("bust", body["bust_girth"], house["bust_ease"], _bust_chords(plan, sketches)),
        Level("waist", body["waist_girth"], house["waist_ease"], _waist_chords(plan, sketches)),
        Level("hip", body["hip_girth"], house["hip_ease"], (*hip[0], *hip[1])),
    )


def _bust_chords(plan: DressPlan, sketches: Mapping[str, Sketch]) -> tuple[Chord, ...]:
    """From the centre level to the side; past a bust dart along its lower leg."""
    chords = []
    for name, panel in (("front bodice", plan.bodice.front), ("back bodice", plan.bodice.back)):
        side = panel.bust_side
        centre = type(side)(0.0, side.y)
        sketch = sketches[name]
        if panel.bust_darts:
            dart = panel.bust_darts[0]
            chords += [sketch.chord(centre, dart.apex, 2), sketch.chord(dart.apex, dart.lower, 2)]
        else:
            chords.append(sketch.chord(centre, side, 2))
    return tuple(chords)


def _waist_chords(plan: DressPlan, sketches: Mapping[str, Sketch]) -> tuple[Chord, ...]:
    return tuple(
        sketches[name].chord(path.start, path.end, 2)
        for name, panel in (("front bodice", plan.bodice.front), ("back bodice", plan.bodice.back))
        for path in panel.waist.panels
    )


def _notions(plan: DressPlan) -> tuple[NotionNeed, ...]:
    diameter = plan.house["button_diameter"]
    on_bodice = len(bodice.bodice_buttons(plan))
    if plan.zip_closure:
        length = plan.bodice.proportions.nape + skirt.zip_depth(plan)
        return (
            NotionNeed("zip", 1, length, "centre back, concealed or lapped, from the nape into the skirt"),
            NotionNeed("hook", 1, None, "hook and eye where the collar's ends meet above the zip"),
            NotionNeed("button", on_bodice, diameter, "sewn through both fronts"),
        )
    count = on_bodice + len(skirt.skirt_buttons(plan))
    return (NotionNeed("button", count, diameter, "front, from the break to above the hem"),)


def neckline_depth(plan: DressPlan) -> float:
    """From the level of the neck point down to where the two roll lines cross at the centre front, mm."""
    start, end = plan.collar.break_point, plan.collar.roll_neck
    share = (0.0 - start.x) / (end.x - start.x)
    return plan.bodice.front.neck.y - (start.y + (end.y - start.y) * share)


def _finished(plan: DressPlan) -> tuple[Finished, ...]:
    body, house, p = plan.body, plan.house, plan.bodice.proportions
    armhole = plan.bodice.front.armhole.length + plan.bodice.back.armhole.length
    return (
        Finished("bust", body["bust_girth"] + house["bust_ease"], body["bust_girth"]),
        Finished("waist", body["waist_girth"] + house["waist_ease"], body["waist_girth"]),
        Finished("hip", body["hip_girth"] + house["hip_ease"], body["hip_girth"]),
        Finished("shoulder seam", plan.bodice.front.shoulder.length, body["shoulder_length"]),
        Finished("armhole", armhole, body["armscye_girth"]),
        Finished("back length, nape to waist", p.nape, body["back_waist_length"]),
        Finished("front length, neck point to waist", p.front_neck, body["front_waist_length"]),
        Finished("skirt length", plan.length, body["waist_to_knee"]),
        Finished("back length, nape to hem", p.nape + plan.length),
        Finished("hem", 4 * plan.pleats.hip_cloth),
        Finished("front opening below the neck point", neckline_depth(plan)),
        Finished("collar width at the centre back", plan.sizes.width),
        Finished("lapel width", plan.sizes.lapel),
    )


STYLE = Style(
    NAME,
    "Dress with notched collar and pleated skirt",
    "Sleeveless; lapel and collar in one piece with the front, waist seam, pleated skirt; zip at the back or "
    "buttons in front.",
    CHOICES,
    NEEDS,
    draft_dress,
)
