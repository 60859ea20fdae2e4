"""The picture of a week: a row a person and a machine, a column a day, all to the scale of the clock."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from textwrap import wrap
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.html import escape

from workshop.planning.models import Fitting, Task
from workshop.planning.queries import Hours, MachineUse
from workshop.planning.rules.calendar import Interval, common

NAMES_WIDE = 110
DAY_WIDE = 150
ROW_HIGH = 116
HEAD_HIGH = 44
LINE_HIGH = 14
LETTER_WIDE = 7.1  # of the boxes' letters, on the broad side
LEAST_LETTERS = 12  # narrower, the words stand upright
TASK_INK = ("#e3ecf3", "#23567f")  # ground, outline
TENTATIVE_INK = ("#ffffff", '#23567f" stroke-dasharray="5 3')
MACHINE_INK = ("#eceae4", "#5d5a52")
FITTING_INK = ("#f7edcc", "#7a5a00")


def week_picture(
    monday: date,
    zone: ZoneInfo,
    hours: Hours,
    tasks: Sequence[Task],
    fittings: Sequence[Fitting],
    *,
    machines: Sequence[MachineUse] = (),
    tentative: Collection[int] = (),
) -> str:
    """Return the week as SVG, ``machines`` below the people. What it shows is on the page in words too.

    Tasks of the ``tentative`` garments, by key, are dashed: nobody has agreed to them yet. Each box is a link
    to its garment.
    """
    people = [person.name for person in hours.staff]
    names = [*people, *(machine.name for machine in machines)]
    first, last = _clock_span(hours, monday, zone)
    scale = _Scale(monday, zone, first, last)
    height = HEAD_HIGH + ROW_HIGH * max(1, len(names))
    width = NAMES_WIDE + 7 * DAY_WIDE
    parts = [
        f'<rect width="{width}" height="{height}" fill="#ece4d3"/>',
        *_open([*map(hours.of, hours.staff), *(hours.open for _ in machines)], scale),
        *_days(monday, height, first, last),
        *_names(names, width),
        *_tasks(tasks, scale, hours, tentative),
        *_held(machines, len(people), scale, hours),
        *_fittings(fittings, scale, people),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="group" '
        f'aria-label="The week from {monday.day} {monday:%B}: who does what when">{"".join(parts)}</svg>'
    )


class _Scale:
    """From an instant to its place in the picture."""

    def __init__(self, monday: date, zone: ZoneInfo, first: float, last: float) -> None:
        self.monday, self.zone, self.first, self.last = monday, zone, first, last

    def spans(self, start: datetime, end: datetime) -> Iterator[tuple[float, float]]:
        """Left edge and width of each day's part of a stretch of time."""
        start, end = start.astimezone(self.zone), end.astimezone(self.zone)
        for day in range(7):
            on = self.monday + timedelta(days=day)
            if not start.date() <= on <= end.date():
                continue
            begins = self._hour(start) if start.date() == on else self.first
            ends = self._hour(end) if end.date() == on else self.last
            begins, ends = max(begins, self.first), min(ends, self.last)
            if ends > begins:
                left = NAMES_WIDE + day * DAY_WIDE + self._share(begins) * DAY_WIDE
                yield left, self._share(ends) * DAY_WIDE - self._share(begins) * DAY_WIDE

    def _share(self, hour: float) -> float:
        return (hour - self.first) / (self.last - self.first)

    @staticmethod
    def _hour(moment: datetime) -> float:
        return moment.hour + moment.minute / 60


def _clock_span(hours: Hours, monday: date, zone: ZoneInfo) -> tuple[float, float]:
    """The earliest and the latest hour of the week's opening; 9 to 17 where it never opens."""
    opens = [at.hour + at.minute / 60 for spans in hours.week.values() for at, _ in spans]
    closes = [at.hour + at.minute / 60 for spans in hours.week.values() for _, at in spans]
    return (min(opens), max(closes)) if opens else (9.0, 17.0)


def _days(monday: date, height: float, first: float, last: float) -> Iterator[str]:
    """The days, each with the hours at its two ends."""
    hour = 'y="38" font-size="11" fill="#5d5a52"'
    for day in range(7):
        on = monday + timedelta(days=day)
        left = NAMES_WIDE + day * DAY_WIDE
        yield f'<path d="M{left} 0V{height}" stroke="#cfc6b3"/>'
        yield f'<text x="{left + 6}" y="20" font-size="13" fill="#5d5a52">{on:%a} {on.day} {on:%b}</text>'
        yield f'<text x="{left + 6}" {hour}>{_clock(first)}</text>'
        yield f'<text x="{left + DAY_WIDE - 6}" {hour} text-anchor="end">{_clock(last)}</text>'


def _clock(hour: float) -> str:
    return f"{int(hour)}:{round(hour % 1 * 60):02d}"


def _names(names: Sequence[str], width: float) -> Iterator[str]:
    for row, name in enumerate(names):
        top = HEAD_HIGH + row * ROW_HIGH
        yield f'<path d="M0 {top}H{width}" stroke="#cfc6b3"/>'
        inked = 'font-size="13" font-weight="600" fill="#23282e"'
        for number, words in enumerate(_lines(name, 12, 4)):
            yield f'<text x="6" y="{top + 24 + 17 * number}" {inked}>{escape(words)}</text>'


def _open(rows: Sequence[Iterable[Interval]], scale: _Scale) -> Iterator[str]:
    """A white ground where somebody is there, or the workshop is open."""
    for row, intervals in enumerate(rows):
        for interval in intervals:
            for left, width in scale.spans(interval.start, interval.end):
                top = HEAD_HIGH + row * ROW_HIGH + 4
                size = f'width="{width:.1f}" height="{ROW_HIGH - 8}"'
                yield f'<rect x="{left:.1f}" y="{top}" {size} fill="#ffffff"/>'


def _tasks(tasks: Iterable[Task], scale: _Scale, hours: Hours, tentative: Collection[int]) -> Iterator[str]:
    """Tasks lie only where the person is there: a task that goes on after a break is drawn in two parts."""
    there = {person.pk: (row, hours.of(person)) for row, person in enumerate(hours.staff)}
    for task in tasks:
        start, end = task.planned_start_at, task.planned_end_at
        if start is None or end is None or task.staff_id not in there:
            continue
        row, intervals = there[task.staff_id]
        asked = task.garment_id in tentative
        words = (task.garment.title, f"{task.title}, not agreed" if asked else task.title)
        shown = _Shown(
            words, reverse("desk:garment", args=[task.garment_id]), TENTATIVE_INK if asked else TASK_INK
        )
        yield from _boxes(Interval(start, end), intervals, scale, row, shown)


def _held(machines: Iterable[MachineUse], above: int, scale: _Scale, hours: Hours) -> Iterator[str]:
    """What holds each machine, drawn while the workshop is open; a machine is held over pauses, too."""
    for row, machine in enumerate(machines, above):
        for task in machine.tasks:
            words = (task.garment.title, f"{task.title}, {task.staff.name if task.staff else ''}")
            shown = _Shown(words, reverse("desk:garment", args=[task.garment_id]), MACHINE_INK)
            if task.planned_start_at and task.planned_end_at:
                time = Interval(task.planned_start_at, task.planned_end_at)
                yield from _boxes(time, hours.open, scale, row, shown)


def _boxes(
    time: Interval, intervals: Iterable[Interval], scale: _Scale, row: int, shown: _Shown
) -> Iterator[str]:
    """The parts of a stretch of time that lie in the intervals; the whole where none does."""
    for begins, ends in common([time], intervals) or [time]:
        for left, width in scale.spans(begins, ends):
            yield _box(left, row, width, shown)


def _fittings(fittings: Iterable[Fitting], scale: _Scale, people: Sequence[str]) -> Iterator[str]:
    for fitting in fittings:
        row = people.index(fitting.fitter.name) if fitting.fitter.name in people else 0
        page = reverse("desk:fitting", args=[fitting.pk])
        shown = _Shown((fitting.garment.title, "Fitting"), page, FITTING_INK)
        for left, width in scale.spans(fitting.starts_at, fitting.ends_at):
            yield _box(left, row, width, shown)


class _Shown(NamedTuple):
    """What a box shows: the garment and what is done to it, the page it leads to, ground and outline."""

    words: tuple[str, str]
    page: str
    inks: tuple[str, str]


def _box(left: float, row: int, width: float, shown: _Shown) -> str:
    """A box with the garment first, then what is done to it, as far as there is room; its title says all.

    A picture of its own inside it keeps broad letters from running over its edge.
    """
    top, high = HEAD_HIGH + row * ROW_HIGH + 8, ROW_HIGH - 16
    ground, outline = shown.inks
    said = escape(": ".join(shown.words))
    return (
        f'<a href="{shown.page}" aria-label="{said}"><title>{said}</title>'
        f'<rect x="{left:.1f}" y="{top}" width="{max(width, 2):.1f}" height="{high}" rx="2" '
        f'fill="{ground}" stroke="{outline}"/>'
        f'<svg x="{left:.1f}" y="{top}" width="{max(width - 2, 1):.1f}" height="{high}" font-size="11" '
        f'fill="#23282e">{"".join(_written(shown.words, width, high))}</svg></a>'
    )


def _written(words: tuple[str, str], width: float, high: float) -> Iterator[str]:
    """The words along the box, or up it where it is narrow; none in a box narrower than a line."""
    upright = width < LEAST_LETTERS * LETTER_WIDE
    along, across = (high, width) if upright else (width, high)
    letters, most = int((along - 6) / LETTER_WIDE), int((across - 2) / LINE_HIGH)
    if most < 1:
        return
    title = _lines(words[0], letters, most)
    rest = _lines(words[1], letters, most - len(title)) if most > len(title) else []
    if upright:
        yield f'<g transform="translate(0 {high}) rotate(-90)">'
    for number, line in enumerate((*title, *rest)):
        weight = ' font-weight="600"' if number < len(title) else ""
        yield f'<text x="4" y="{12 + LINE_HIGH * number}"{weight}>{escape(line)}</text>'
    if upright:
        yield "</g>"


def _lines(words: str, letters: int, most: int) -> list[str]:
    """At most so many lines of so many letters: whole words where they fit, then an ellipsis."""
    lines = [_cut(line, letters) for line in wrap(words, letters, break_long_words=False)]
    if len(lines) > most:
        lines = [*lines[: most - 1], lines[most - 1].rstrip(",…")[: letters - 1] + "…"]
    return lines


def _cut(words: str, letters: int) -> str:
    return words if len(words) <= letters else words[: max(letters - 1, 1)].rstrip() + "…"
