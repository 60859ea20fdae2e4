"""Sleeves, and the armholes of garments without."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.blocks.sleeve import Sleeve
from drafting.blocks.sleeve_changes import shortened
from drafting.details.sleeves import (
    back_seam_names,
    cap_allowance,
    sleeve_piece,
)
from drafting.making import Corner, Making, Phase, Run, run
from drafting.pattern import Finished, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import (
    BOUND,
    FACED,
    FINISH_LABELS,
    bind_armholes,
    face_armholes,
    round_armhole,
    sew_cap,
)
from drafting.styles.parts.linings import FULL, is_lined
from drafting.styles.parts.sleeve_ends import end_sleeve
from drafting.styles.parts.sleeve_plan import (
    BELL,
    BISHOP,
    CAP,
    CUFF,
    ELASTIC,
    ELBOW,
    FITTED,
    HEM,
    KINDS,
    LONG,
    NO_SLEEVE,
    PUFF,
    SHORT,
    THREE_QUARTER,
    SleevePlan,
    plan_sleeve,
)

__all__ = [
    "BELL",
    "BISHOP",
    "CAP",
    "CUFF",
    "ELASTIC",
    "ELBOW",
    "FITTED",
    "HEM",
    "KINDS",
    "LONG",
    "NO_SLEEVE",
    "PUFF",
    "SHORT",
    "THREE_QUARTER",
    "USUAL",
    "Sleeves",
]

USUAL = "usual"
END_LABELS = {
    USUAL: "as is usual for the sleeve",
    HEM: "hemmed",
    CUFF: "gathered into a cuff or band",
    ELASTIC: "elastic in the hem",
}
SLEEVE_NEEDS = ("upper_arm_girth", "arm_length", "wrist_girth")


@dataclass(frozen=True, slots=True)
class Sleeves:
    """The sleeves that a style offers, the first its default; and how an armhole without one is finished.

    ``flat``: the cap is low and without ease, the sleeve loose and set in before the sides are closed, as in
    a shirt.
    """

    offered: tuple[str, ...] = (NO_SLEEVE, *KINDS)
    ends: tuple[str, ...] = (USUAL, HEM, CUFF, ELASTIC)
    finishes: tuple[str, ...] = (FACED, BOUND)
    flat: bool = False

    @property
    def needs(self) -> tuple[str, ...]:
        return SLEEVE_NEEDS if set(self.offered) - {NO_SLEEVE} else ()

    @property
    def clashes(self) -> tuple[Clash, ...]:
        return (
            Clash(
                "sleeve",
                (CAP,),
                "sleeve_end",
                (CUFF, ELASTIC),
                "A cap sleeve ends over the shoulder: it is hemmed.",
            ),
            Clash("sleeve", (BELL,), "sleeve_end", (CUFF, ELASTIC), "A bell sleeve hangs open at its hem."),
            Clash(
                "sleeve",
                (PUFF, BISHOP),
                "sleeve_end",
                (HEM,),
                "A full sleeve is held at its edge: choose a cuff or band, or elastic.",
            ),
        )

    @property
    def choices(self) -> tuple[Choice, ...]:
        return (*self._kind_choice(), *self._size_choices(), *self._finish_choice())

    def _kind_choice(self) -> tuple[Choice, ...]:
        if len(self.offered) == 1:
            return ()
        labels = {NO_SLEEVE: "none"} | {name: kind.label for name, kind in KINDS.items()}
        options = tuple((name, labels[name]) for name in self.offered)
        return (Choice("sleeve", "Sleeve", "option", self.offered[0], options),)

    def _size_choices(self) -> tuple[Choice, ...]:
        if not self.needs:
            return ()
        ends = tuple((name, END_LABELS[name]) for name in self.ends)
        sleeves = tuple(kind for kind in self.offered if kind != NO_SLEEVE)
        sized = "sleeve", tuple(kind for kind in sleeves if kind != CAP)
        ending = Choice(
            "sleeve_end", "Edge of the sleeve", "option", self.ends[0], ends, only_with=("sleeve", sleeves)
        )
        return (
            *((ending,) if len(ends) > 1 else ()),
            Choice(
                "sleeve_length",
                "Sleeve length",
                "length",
                0.0,
                low=50.0,
                high=1000.0,
                help="From the shoulder bone to the edge. Left empty, or 0, it follows the arm.",
                only_with=sized,
            ),
            Choice(
                "sleeve_width",
                "Sleeve around its edge",
                "length",
                0.0,
                low=80.0,
                high=1500.0,
                help="The finished hem, band or closed cuff. Left empty, or 0, it follows the arm.",
                only_with=sized,
            ),
        )

    def _finish_choice(self) -> tuple[Choice, ...]:
        if NO_SLEEVE not in self.offered or len(self.finishes) == 1:
            return ()
        options = tuple((name, FINISH_LABELS[name]) for name in self.finishes)
        help_ = "Of an armhole without sleeve and without lining."
        bare = "sleeve", (NO_SLEEVE,)
        return (
            Choice(
                "armhole_finish",
                "Armholes",
                "option",
                self.finishes[0],
                options,
                help=help_,
                only_with=bare,
            ),
        )

    def make(self, making: Making) -> None:
        """Draw the sleeves and set them in, or finish the armholes. Raises: CannotDraft, BadChoice."""
        kind = making.chosen("sleeve", self.offered[0])
        if kind == NO_SLEEVE:
            self._finish(making)
            return
        plan = plan_sleeve(making, kind, flat=self.flat)
        # A flat sleeve is closed together with the sides, once it is in its armhole.
        closed = Phase.SIDES if self.flat else Phase.SLEEVES
        _draw(making, plan, closed)
        end_sleeve(making, plan, closed)
        _set_in(making, flat=self.flat)
        if making.chosen("lining") == FULL:
            _line(making, plan)
        _measure(making, plan)

    def _finish(self, making: Making) -> None:
        if is_lined(making):
            return  # the lining finishes the armholes
        if making.chosen("armhole_finish", self.finishes[0]) == BOUND:
            bind_armholes(making)
        else:
            face_armholes(making)


def _draw(making: Making, plan: SleevePlan, closed: Phase) -> None:
    """The sleeve itself and its underarm seam."""
    hem = 0.0 if plan.end == CUFF else plan.hem_depth
    sketch = making.add(sleeve_piece("sleeve", plan.sleeve, making.house, hem=hem, slit=plan.slit))
    making.shells["sleeve"] = "sleeve"
    edges = [stroke.name for stroke in sketch.strokes]
    # Walked from the back to the front; a slit parts the end.
    lower = run("sleeve", *(name for name in edges if name.split()[0] in {"hem", "end"}))
    front, back = _underarm("sleeve", plan.sleeve)
    making.lines |= {
        "sleeve cap": run("sleeve", "cap"),
        "sleeve hem": lower,
        "sleeve underarm front": front,
        "sleeve underarm back": back,
    }
    making.sew(closed, "underarm of the sleeve", front, back)
    for name, in_front, behind, at in (
        ("sleeve cap at the underarm", "cap", "cap", 0),
        ("sleeve edge at the underarm", lower[-1].edge, lower[0].edge, -1),
    ):
        making.smooth(
            name,
            Corner("sleeve", in_front, front[at].edge),
            Corner("sleeve", behind, back[at].edge),
        )


def _underarm(piece: str, sleeve: Sleeve) -> tuple[Run, Run]:
    """Both sides of the underarm seam, downward."""
    return run(piece, "underarm front"), run(piece, *back_seam_names(sleeve))


def _set_in(making: Making, *, flat: bool) -> None:
    """Sew cap to armhole, the notches on one another, and the crown's notch to the shoulder seam."""
    for side in ("front", "back"):
        _widen_allowance(making, making.lines[f"{side} armhole"])
    around = round_armhole(making.lines["front armhole"], making.lines["back armhole"])
    phase = Phase.ARMHOLES if flat else Phase.SIDES
    method = sew_cap(making, phase, "armhole", making.lines["sleeve cap"], around)
    making.note(phase, _setting_note(method, flat=flat))


def _setting_note(method: Method, *, flat: bool) -> str:
    if flat:
        return "Sew the sleeves flat to the armholes, then close sides and sleeves in one seam."
    held = "gathers" if method is Method.GATHERED else "ease"
    return (
        f"Run two rows of long stitches over the cap from notch to notch; set the sleeve in with its {held} "
        "between the notches only, the crown's notch at the shoulder seam, one notch in front and two behind."
    )


def _widen_allowance(making: Making, line: Run) -> None:
    """An armhole that takes a sleeve has a seam's allowance, not an enclosed edge's."""
    for step in line:
        sketch = making.sketches[step.piece]
        stroke = sketch.stroke(step.edge)
        sketch.put(step.edge, replace(stroke, allowance=cap_allowance(making.house)))


def _line(making: Making, plan: SleevePlan) -> None:
    """The sleeve again in lining, a little shorter where it is hemmed.

    Its cap is set in by whoever draws the lining's armhole.
    """
    hemmed = plan.end != CUFF
    short = 0.5 * plan.hem_depth if hemmed else 0.0
    sleeve = shortened(plan.sleeve, short) if hemmed else plan.sleeve
    name = "sleeve lining"
    making.add(
        sleeve_piece(
            name, sleeve, making.house, hem=plan.hem_depth if hemmed else 0.0, cloth="lining", slit=plan.slit
        )
    )
    making.lines["sleeve lining cap"] = run(name, "cap")
    phase = Phase.LINING
    making.sew(phase, "underarm of the sleeve lining", *_underarm(name, sleeve))
    if not hemmed:
        ends = making.lines["sleeve hem"]
        lined = run(name, *(step.edge for step in ends))
        making.sew(phase, "sleeve lining at the cuff", lined, ends, Method.LINED)


def _measure(making: Making, plan: SleevePlan) -> None:
    body = making.body
    reaches = body["arm_length"] if plan.length > 0.9 * body["arm_length"] else None
    making.finished += [
        Finished("sleeve at the upper arm", plan.sleeve.width, body["upper_arm_girth"]),
        Finished("sleeve length from the shoulder", plan.length, reaches),
    ]
