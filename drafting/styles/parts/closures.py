"""How a garment opens: it says how the centres meet before anything is drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.centre import Centre
from drafting.house import least_extension
from drafting.making import Making, Phase, Run, run
from drafting.pattern import Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share

BACK_ZIP, SIDE_ZIP, FLY = "centre-back zip", "side zip", "fly"
HOOK = "hook"
FRONT_BUTTONS, ELASTIC, NONE = "front buttons", "elastic", "none"
FOLDED_PLACKET, HALF_PLACKET = "folded placket", "half placket"
PLACKETS = (FOLDED_PLACKET, HALF_PLACKET)
LABELS = {
    BACK_ZIP: "zip at the centre back",
    SIDE_ZIP: "zip at the left side",
    FLY: "fly front: a zip at the centre front",
    FRONT_BUTTONS: "buttons down the front",
    FOLDED_PLACKET: "front buttons on a folded placket",
    HALF_PLACKET: "a half placket: buttons part of the way down",
    HOOK: "a slit at the back of the neck, with a hook",
    ELASTIC: "none: elastic in the waist",
    NONE: "none: it is pulled over the head",
}

_FLY_SHARE = 0.9  # of the way from waist to hip: a fly ends above where the crotch seam bends
_CHILD_LEAST = 0.75  # of the house's button extension, for the smallest child
PLACKET_DEPTH = Choice(
    "placket_depth",
    "Depth of the half placket",
    "length",
    0.0,
    low=50.0,
    high=700.0,
    help="Below the neckline at the centre front. Left empty, or 0, it follows the house rule.",
    only_with=("closure", (HALF_PLACKET,)),
)


CONCEALED, LAPPED = "concealed", "lapped"
ZIP_SET = Choice(
    "zip_set",
    "How the zip is set",
    "option",
    CONCEALED,
    ((CONCEALED, "concealed: no stitching shows"), (LAPPED, "lapped: one side covers it, stitched down")),
)
_SETTING = {
    CONCEALED: "set it concealed from the top down before the seam below it is sewn up to its end",
    LAPPED: "sew the seam below it, press the lap 3 mm beyond the seam line, sew it to the under tape along "
    "its fold, then lay the other side over it to the seam line and topstitch it 10 mm away, across below "
    "the stop",
}


def zip_remark(making: Making) -> str:
    """Which kind of zip is bought."""
    return "concealed" if making.chosen("zip_set", CONCEALED) == CONCEALED else "for a lapped setting"


def zip_setting(making: Making) -> str:
    """How it is set, in the workshop's words. Source: common practice, no source."""
    return _SETTING[making.chosen("zip_set", CONCEALED)]


@dataclass(frozen=True, slots=True)
class Closure:
    """The closures that a style offers, the first its default."""

    offered: tuple[str, ...] = (BACK_ZIP,)
    needs: tuple[str, ...] = ("waist_to_hip",)
    clashes: tuple[Clash, ...] = (
        Clash(
            "closure",
            PLACKETS,
            "yoke",
            ("front", "both"),
            "A front yoke would cut through the placket: choose a back yoke, or buttons on a facing.",
        ),
        Clash(
            "closure",
            PLACKETS,
            "lining",
            ("bodice", "full"),
            "A placket is stitched through the front, which is not lined then: choose another closure or no "
            "lining.",
        ),
        Clash(
            "closure",
            (HALF_PLACKET,),
            "neckline",
            ("v", "square", "boat"),
            "A half placket opens a round or a scooped neckline: choose one of these.",
        ),
        Clash(
            "closure",
            (HALF_PLACKET,),
            "fit",
            ("darts",),
            "Taken in at the waist it cannot be pulled over the shoulders: let it open all the way down.",
        ),
    )

    @property
    def choices(self) -> tuple[Choice, ...]:
        zips = tuple(kind for kind in (BACK_ZIP, SIDE_ZIP) if kind in self.offered)
        if len(self.offered) == 1:
            return (ZIP_SET,) if zips else ()
        options = tuple((name, LABELS[name]) for name in self.offered)
        closure = Choice("closure", "Closure", "option", self.offered[0], options, unsaid=())
        return (
            closure,
            *((replace(ZIP_SET, only_with=("closure", zips)),) if zips else ()),
            *((PLACKET_DEPTH,) if HALF_PLACKET in self.offered else ()),
        )

    def make(self, making: Making) -> None:
        """Say how the centres meet."""
        kind = making.chosen("closure", self.offered[0])
        if kind == BACK_ZIP:
            depth = min(making.house["zip_below_waist"], making.body["waist_to_hip"])
            making.centres["back"] = Centre("zip", depth=depth)
        elif kind == HOOK:
            making.centres["back"] = Centre(depth=making.house["back_slit"] * child_share(making))
        elif kind == FLY:
            depth = min(making.house["zip_below_waist"], _FLY_SHARE * making.body["waist_to_hip"])
            making.centres["front"] = Centre(FLY, depth=depth)
        elif kind == FRONT_BUTTONS:
            making.centres["front"] = Centre("buttons", extension=button_extension(making))
        elif kind == FOLDED_PLACKET:
            making.centres["front"] = Centre("buttons", extension=placket_half(making), folded=True)
        elif kind == HALF_PLACKET:
            depth = making.house["half_placket_depth"] * child_share(making)
            making.centres["front"] = Centre(
                "half placket",
                extension=placket_half(making),
                depth=making.length("placket_depth", depth),
            )


def placket_half(making: Making) -> float:
    """Half the width of a placket, mm: the house's, a child's in proportion, never too narrow for its button.

    Source: of the least, see ``house.least_extension``.
    """
    wished = making.house["placket_width"] / 2 * max(child_share(making), _CHILD_LEAST)
    return max(least_extension(making.house["button_diameter"]), wished)


def button_extension(making: Making) -> float:
    """How far a button stand reaches beyond the centre, mm: the house's, a child's in proportion.

    Never too narrow for its button (``house.least_extension``).
    """
    wished = making.house["button_extension"] * max(child_share(making), _CHILD_LEAST)
    return max(least_extension(making.house["button_diameter"]), wished)


@dataclass(frozen=True, slots=True)
class ZipIn:
    """Sets the zip once all pieces at the centre back are drawn: after facings, skirt and lining."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Sew the seam below the zip, then the zip, then what is joined to its tapes."""
        if making.centres["back"].kind != "zip":
            return
        shells = set(making.shells.values())
        opening: Run = ()
        joined: list[Run] = []
        length = 0.0
        for name, sketch in making.sketches.items():
            edges = [stroke.name for stroke in sketch.strokes]
            if "centre back seam" in edges:
                line = run(name, "centre back seam")
                making.sew(Phase.SKIRT, f"centre back seam of the {name}", line, line, times=1)
            if "centre back" not in edges or not making.at_zip(name):
                continue
            line = run(name, "centre back")
            if name in shells:
                opening += line
                length += making.run_length(line)
            else:
                joined.append(line)
        making.sew(Phase.CLOSURE, "centre back", opening, opening, Method.ZIP, times=1)
        for line in joined:
            making.sew(Phase.CLOSURE, f"{line[0].piece} to the zip", line, line, Method.LINED, times=1)
        making.notions.append(NotionNeed("zip", 1, length, f"centre back, {zip_remark(making)}"))
        making.notions.append(NotionNeed("hook", 1, None, "hook and eye above the zip"))
        making.note(
            Phase.CLOSURE,
            f"Zip at the centre back: {zip_setting(making)}; join the facings to its tapes and set a hook "
            "and eye above it.",
        )
