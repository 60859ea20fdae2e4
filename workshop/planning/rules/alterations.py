"""What a fitting takes off, by place: which places there are, the work that it makes, what it teaches.

Amounts are in mm and measured at the place, on one side of the body. Places, steps and minutes are common
practice, no source; a workshop overrides the minutes where it knows better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import atan2, degrees
from types import MappingProxyType
from typing import Final

from drafting.body import FIT_NOTES

LEFT, RIGHT, BOTH = "left", "right", "both"
SIDES: Final = (LEFT, RIGHT, BOTH)

SHOULDER_MM: Final = 135.0
"""Shoulder length where the wearer's was not taken: ANSUR II, women, mean 135.4 mm."""


@dataclass(frozen=True, slots=True)
class Step:
    """One operation of an alteration; ``each_side``: done once more for a second side."""

    name: str
    minutes: float
    each_side: bool = True


@dataclass(frozen=True, slots=True)
class Way:
    """A direction in which a place is changed. ``lets_out``: it needs cloth that the seam must still hold."""

    name: str
    words: str
    lets_out: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """A place at which a garment is altered. ``sided``: it lies on the left, the right, or both."""

    name: str
    title: str
    ways: tuple[Way, ...]
    steps: tuple[Step, ...]
    most_mm: float
    sided: bool = True

    def way(self, name: str) -> Way | None:
        """Return the way of that name, or None."""
        return next((way for way in self.ways if way.name == name), None)


@dataclass(frozen=True, slots=True)
class Change:
    """One finding of a fitting: at which place, which way, by how much.

    ``side`` is empty where the place has but one. ``minutes`` of None takes those of the steps. ``typed`` is
    the amount as somebody wrote it. ``in_figure``: it lies in the wearer's body, so that later drafts are to
    be drawn with it.
    """

    place: str
    way: str
    amount_mm: float
    side: str = ""
    minutes: int | None = None
    in_figure: bool = True
    typed: str = ""


@dataclass(frozen=True, slots=True)
class Lesson:
    """What a change taught of the figure: an amount to add to a fit note, mm or degrees."""

    note: str
    amount: float


class BadChange(ValueError):
    """A change that cannot be; ``part`` says which of its parts: place, way, side, amount, minutes."""

    def __init__(self, message: str, part: str) -> None:
        super().__init__(message)
        self.part = part


_IN, _OUT = Way("in", "in"), Way("out", "out", lets_out=True)
_UP, _DOWN = Way("up", "up"), Way("down", "down", lets_out=True)
_SHORTER, _LONGER = Way("shorter", "shorter"), Way("longer", "longer", lets_out=True)

_MARK = Step("Mark the new line and pin or baste it", 5)
_SEAM = (
    _MARK,
    Step("Open hem, facing or lining where the seam meets it", 6),
    Step("Unpick the seam", 5),
    Step("Sew the new seam and neaten it", 7),
    Step("Press it open or to one side", 3),
    Step("Close hem, facing or lining again", 8),
)
_ARMHOLE = (
    _MARK,
    Step("Take the sleeve or the armhole finish off at the top", 8),
    Step("Sew the shoulder anew", 5),
    Step("Set the sleeve or the finish back", 12),
    Step("Press", 4),
)
_WAIST_SEAM = (
    _MARK,
    Step("Open the waist seam", 8),
    Step("Sew the waist seam to the new line", 8),
    Step("Press", 3),
    Step("Close lining or facing at the waist", 8),
)
_NECK = (
    Step("Mark the new neckline", 6),
    Step("Take facing or collar off", 10),
    Step("Trim, face anew and understitch", 16),
    Step("Press", 4),
)

_ROWS: Final = (
    Place("side_seam", "side seam", (_IN, _OUT), _SEAM, 80.0),
    Place("centre_back", "centre back seam", (_IN, _OUT), _SEAM, 80.0, sided=False),
    Place("waist", "waist", (_IN, _OUT), (*_SEAM, *_WAIST_SEAM[1:]), 80.0, sided=False),
    Place("waist_line", "waist line of the skirt", (_SHORTER, _LONGER), _WAIST_SEAM, 50.0),
    Place("hip", "hip", (_IN, _OUT), _SEAM, 80.0),
    Place(
        "hem",
        "hem",
        (_UP, _DOWN),
        (
            Step("Mark the new hem from the floor", 10),
            Step("Undo the hem", 8),
            Step("Trim and neaten the edge", 8),
            Step("Turn and sew the hem", 18),
            Step("Press the hem", 6),
        ),
        400.0,
        sided=False,
    ),
    Place("shoulder", "shoulder at the armhole", (_UP, _DOWN), _ARMHOLE, 40.0),
    Place(
        "shoulder_length",
        "shoulder length",
        (_SHORTER, _LONGER),
        (
            *_ARMHOLE[:2],
            Step("Cut the armhole to the new line", 6),
            *_ARMHOLE[3:],
        ),
        40.0,
    ),
    Place(
        "bust_dart",
        "bust dart",
        (_UP, _DOWN, Way("deeper", "deeper"), Way("shallower", "shallower", lets_out=True)),
        (
            _MARK,
            Step("Unpick the dart and the seam that it runs into", 7),
            Step("Sew the dart to its new line", 5),
            Step("Press the dart", 2),
            Step("Close the seam", 5),
        ),
        60.0,
    ),
    Place("front_length", "front over the bust", (_SHORTER, _LONGER), _WAIST_SEAM, 60.0, sided=False),
    Place("upper_back", "back above the armhole line", (_SHORTER, _LONGER), _ARMHOLE, 45.0, sided=False),
    Place("small_of_back", "small of the back", (_SHORTER, _LONGER), _WAIST_SEAM, 20.0, sided=False),
    Place(
        "sleeve_length",
        "sleeve length",
        (_SHORTER, _LONGER),
        (
            Step("Mark the new edge, the arm bent", 3),
            Step("Undo hem or cuff", 6),
            Step("Trim, turn and sew it again", 10),
            Step("Press", 3),
        ),
        200.0,
    ),
    Place("sleeve_width", "sleeve seam", (_IN, _OUT), _SEAM, 60.0),
    Place(
        "neckline",
        "neckline",
        (Way("deeper", "deeper"), Way("higher", "higher", lets_out=True)),
        _NECK,
        80.0,
        sided=False,
    ),
    Place(
        "strap",
        "strap",
        (_SHORTER, _LONGER),
        (_MARK, Step("Open the end of the strap", 4), Step("Sew it at its new length", 5)),
        100.0,
    ),
)

PLACES: Final[Mapping[str, Place]] = MappingProxyType({place.name: place for place in _ROWS})
"""The places, by name, in the order in which one looks a wearer over."""

MOST_MINUTES: Final = 6000


def check_change(change: Change, *, show: Callable[[float], str]) -> None:
    """Check that a change can be. ``show`` writes a length in mm as the workshop reads it.

    Raises: BadChange for a place, way, side, amount or minutes that cannot be.
    """
    place = PLACES.get(change.place)
    if place is None:
        raise BadChange("Choose a place from the list.", "place")
    if place.way(change.way) is None:
        ways = " or ".join(way.words for way in place.ways)
        raise BadChange(f"The {place.title} goes {ways}; choose one of them.", "way")
    if place.sided and change.side not in SIDES:
        raise BadChange(f"Say which {place.title}: left, right or both.", "side")
    if not place.sided and change.side:
        raise BadChange(f"There is but one {place.title}; leave the side empty.", "side")
    if not 0 < change.amount_mm <= place.most_mm:
        raise BadChange(
            f"The {place.title} is altered by more than nothing and at most {show(place.most_mm)}; "
            "beyond that cut a piece again.",
            "amount",
        )
    if change.minutes is not None and not 1 <= change.minutes <= MOST_MINUTES:
        raise BadChange(f"Give it from 1 to {MOST_MINUTES} minutes.", "minutes")


def words(change: Change, amount: str) -> str:
    """Return the change in words: ``side seam in by 1/2 in, left``. ``amount`` is written with its unit."""
    place = PLACES[change.place]
    way = place.way(change.way)
    assert way is not None
    side = {"": "", BOTH: ", both sides"}.get(change.side, f", {change.side}")
    return f"{place.title} {way.words} by {amount}{side}"


def steps(change: Change) -> tuple[Step, ...]:
    """Return the operations of a change with their minutes, both sides counted.

    Minutes that somebody gave are spread over the steps as the usual ones are.
    """
    place = PLACES[change.place]
    way = place.way(change.way)
    assert way is not None
    check = (Step("Measure the allowance: enough must be left to sew", 3),) if way.lets_out else ()
    usual = [
        Step(step.name, step.minutes * (2 if change.side == BOTH and step.each_side else 1), step.each_side)
        for step in (*check, *place.steps)
    ]
    if change.minutes is None:
        return tuple(usual)
    share = change.minutes / sum(step.minutes for step in usual)
    return tuple(Step(step.name, round(step.minutes * share, 2), step.each_side) for step in usual)


def minutes_of(change: Change) -> int:
    """Return the standard minutes of a change, rounded up to a whole one."""
    if change.minutes is not None:
        return change.minutes
    return int(-(-sum(step.minutes for step in steps(change)) // 1))


def lesson(change: Change, *, shoulder_mm: float = SHOULDER_MM) -> Lesson | None:
    """Return what a change teaches of the figure as an amount, or None where it can be said in words only.

    A shoulder that is taken up at its end on both sides slopes more: by the angle whose tangent is the amount
    over the shoulder's length (plane geometry). Which place tells of which note: common practice, no source.
    """
    if not change.in_figure:
        return None
    more = -1.0 if change.way in {"down", "shorter"} else 1.0
    amount = more * change.amount_mm
    if change.place == "shoulder":
        if change.side == BOTH:
            return Lesson("shoulder_slope", round(degrees(atan2(amount, shoulder_mm)), 1))
        return Lesson("left_shoulder_lower", amount if change.side == LEFT else -amount)
    if change.place == "waist_line" and change.side != BOTH:
        # A skirt that is let down at one side hung too short there: that hip is higher.
        return Lesson("left_hip_higher", amount if change.side == LEFT else -amount)
    plain = {
        "front_length": ("front_length", amount),
        "upper_back": ("rounded_back", amount),
        "small_of_back": ("sway_back", -amount),
    }
    return Lesson(*plain[change.place]) if change.place in plain else None


def learn(fit: Mapping[str, float], lessons: Iterable[Lesson]) -> tuple[dict[str, float], list[bool]]:
    """Add lessons to a wearer's fit notes.

    Returns: the notes as they are then, those of 0 left out; and of each lesson whether it was taken. One
    that would lead beyond the limits of its note is not: that is left to the owner.
    """
    found = dict(fit)
    taken: list[bool] = []
    for one in lessons:
        note = FIT_NOTES[one.note]
        amount = round(found.get(one.note, 0.0) + one.amount, 3)
        taken.append(note.low <= amount <= note.high)
        if taken[-1]:
            found[one.note] = amount
    return {name: amount for name, amount in found.items() if amount}, taken
