"""A belt that is tied or fastened, and the loops that hold it."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.details.belts import belt_loop, folded_strip
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, run
from drafting.pattern import Cut, EdgeKind, Finished, MarkKind, Method, NotionNeed
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import child_share

NO_BELT, TIED, STRAIGHT = "none", "tied", "straight"
LABELS = {NO_BELT: "none", TIED: "a belt to tie", STRAIGHT: "a straight belt with loops"}
_TIE = 500.0  # mm of each end of a tied belt beyond the knot (common practice, no source)
_LOOPS = 4  # two at the sides, two at the back (common practice, no source)
_LEAST_WIDTH = 12.0  # mm: a narrower belt cannot be turned


@dataclass(frozen=True, slots=True)
class Belt:
    """The belts that a style offers, the first its default; comes after everything at the waist is drawn."""

    offered: tuple[str, ...] = (NO_BELT, TIED, STRAIGHT)
    needs: tuple[str, ...] = ("waist_girth",)
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((name, LABELS[name]) for name in self.offered)
        belt = Choice("belt", "Belt", "option", self.offered[0], options)
        width = Choice(
            "belt_width",
            "Width of the belt",
            "length",
            0.0,
            low=_LEAST_WIDTH,
            high=150.0,
            help="Left empty, or 0, it follows the house rule, in proportion to the wearer.",
            only_with=("belt", tuple(name for name in self.offered if name != NO_BELT)),
        )
        return (belt, width)

    def make(self, making: Making) -> None:
        """Draw the belt and its loops. Raises: BadChoice."""
        kind = making.chosen("belt", self.offered[0])
        if kind == TIED:
            _tied(making)
        elif kind == STRAIGHT:
            _straight(making)


def _width(making: Making) -> float:
    usual = making.house["belt_width"] * child_share(making)
    return making.length("belt_width", max(usual, _LEAST_WIDTH))


def _waist(making: Making) -> float:
    """What a belt goes around, mm: the waist seam; the wearer's waist where the garment has none."""
    lines = [making.lines.get(f"{side} waist") for side in ("front", "back")]
    seam = sum(2 * making.run_length(line) for line in lines if line is not None)
    return seam or making.body["waist_girth"] + making.house["waist_ease"]


def _tied(making: Making) -> None:
    """Two halves with a seam at the centre back.

    Raises: BadChoice for a child. Source: EN 14682 (summaries): ends at the waist at most 14 cm.
    """
    if making.body.is_child:
        raise BadChoice(
            "a child's belt is not tied: its ends at the waist may be 14 cm long at most (EN 14682; check "
            "your local rules). Choose a straight belt",
            field="belt",
        )
    length = _waist(making) / 2 + _TIE
    cut = (Cut("shell", 2),)
    sketch = folded_strip("tie belt", length, _width(making), making.house, cut, ends=EdgeKind.SEAM)
    making.add(sketch)
    upper = run(sketch.name, "upper end")
    making.sew(Phase.CLOSURE, "centre back of the belt", upper, upper, times=1)
    _turn(making, sketch.name, "lower end", times=2)
    making.note(Phase.CLOSURE, "Join the halves of the belt at the centre back before it is folded.")
    making.finished.append(Finished("belt", 2 * length))


def _straight(making: Making) -> None:
    """One strip with interfacing that laps over itself and is hooked, and its loops."""
    overlap = making.house["belt_overlap"] * child_share(making)
    length, width = _waist(making) + overlap, _width(making)
    cuts = (Cut("shell", 1), Cut("interfacing", 1))
    sketch = folded_strip("belt", length, width, making.house, cuts, ends=EdgeKind.SEAM)
    lap = Point(0.0, -_waist(making)), Point(2 * width, -_waist(making))
    sketch.mark("laps to here", MarkKind.GUIDE, Path.line(*lap))
    making.add(sketch)
    _turn(making, sketch.name, "lower end", times=1)
    _close_end(making, sketch.name, "upper end", times=1)
    making.notions.append(NotionNeed("hook", 2, None, "hooks and eyes of the belt, where it laps"))
    making.finished.append(Finished("belt", length))
    _loops(making, width)


def sew_loops(making: Making, held: float, count: int) -> None:
    """Add the loops that hold a belt ``held`` mm wide."""
    name = making.add(belt_loop(held, making.house, count)).name
    left, right = run(name, "long edge left"), run(name, "long edge right")
    making.sew(Phase.CLOSURE, "belt loop", left, right, times=count)


def _loops(making: Making, belt_width: float) -> None:
    sew_loops(making, belt_width, _LOOPS)
    making.note(
        Phase.CLOSURE,
        "Sew the belt loops to the garment at the waist, at both side seams and half-way to the centre back.",
    )


def _turn(making: Making, name: str, end: str, *, times: int) -> None:
    """Sew a folded strip's long edges together and close one of its ends; it is turned after that."""
    left, right = run(name, "long edge left"), run(name, "long edge right")
    making.sew(Phase.CLOSURE, f"long edge of the {name}", left, right, Method.ENCLOSED, times=times)
    _close_end(making, name, end, times=times)


def _close_end(making: Making, name: str, end: str, *, times: int) -> None:
    line = run(name, end)
    making.sew(Phase.CLOSURE, f"{end} of the {name}", line, line, Method.ENCLOSED, times=times)
