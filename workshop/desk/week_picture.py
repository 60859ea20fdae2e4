"""The picture of a week: a row a person, a column a day, tasks and fittings to the scale of the clock."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.html import escape

from workshop.planning.models import Fitting, Task
from workshop.planning.queries import Hours

NAMES_WIDE = 110
DAY_WIDE = 150
ROW_HIGH = 62
HEAD_HIGH = 30
TASK_INK = ("#e3ecf3", "#23567f")  # ground, outline
FITTING_INK = ("#f7edcc", "#7a5a00")


def week_picture(
    monday: date, zone: ZoneInfo, hours: Hours, tasks: Sequence[Task], fittings: Sequence[Fitting]
) -> str:
    """Return the week as SVG. What the picture shows is listed on the page in words too."""
    people = [person.name for person in hours.staff]
    first, last = _clock_span(hours, monday, zone)
    scale = _Scale(monday, zone, first, last)
    height = HEAD_HIGH + ROW_HIGH * max(1, len(people))
    width = NAMES_WIDE + 7 * DAY_WIDE
    parts = [
        f'<rect width="{width}" height="{height}" fill="#ece4d3"/>',
        *_open(hours, scale),
        *_days(monday, height),
        *_people(people, width),
        *_tasks(tasks, scale, hours),
        *_fittings(fittings, scale, people),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
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


def _days(monday: date, height: float) -> Iterator[str]:
    for day in range(7):
        on = monday + timedelta(days=day)
        left = NAMES_WIDE + day * DAY_WIDE
        yield f'<path d="M{left} 0V{height}" stroke="#cfc6b3"/>'
        yield f'<text x="{left + 6}" y="20" font-size="13" fill="#5d5a52">{on:%a} {on.day} {on:%b}</text>'


def _people(people: Sequence[str], width: float) -> Iterator[str]:
    for row, name in enumerate(people):
        top = HEAD_HIGH + row * ROW_HIGH
        yield f'<path d="M0 {top}H{width}" stroke="#cfc6b3"/>'
        words = escape(_cut(name, 12))
        yield f'<text x="6" y="{top + 24}" font-size="13" font-weight="600" fill="#23282e">{words}</text>'


def _open(hours: Hours, scale: _Scale) -> Iterator[str]:
    """A white ground where somebody is there."""
    for row, person in enumerate(hours.staff):
        for interval in hours.of(person):
            for left, width in scale.spans(interval.start, interval.end):
                top = HEAD_HIGH + row * ROW_HIGH + 4
                size = f'width="{width:.1f}" height="{ROW_HIGH - 8}"'
                yield f'<rect x="{left:.1f}" y="{top}" {size} fill="#ffffff"/>'


def _tasks(tasks: Iterable[Task], scale: _Scale, hours: Hours) -> Iterator[str]:
    """Tasks lie only where the person is there: a task that goes on after a break is drawn in two parts."""
    there = {person.pk: (row, hours.of(person)) for row, person in enumerate(hours.staff)}
    for task in tasks:
        start, end = task.planned_start_at, task.planned_end_at
        if start is None or end is None or task.staff_id not in there:
            continue
        row, intervals = there[task.staff_id]
        words = f"{task.title}: {task.garment.title}"
        parts = [(max(start, i.start), min(end, i.end)) for i in intervals if i.start < end and start < i.end]
        for begins, ends in parts or [(start, end)]:
            for left, width in scale.spans(begins, ends):
                yield _box(left, row, width, words, TASK_INK)


def _fittings(fittings: Iterable[Fitting], scale: _Scale, people: Sequence[str]) -> Iterator[str]:
    for fitting in fittings:
        row = people.index(fitting.fitter.name) if fitting.fitter.name in people else 0
        words = f"Fitting: {fitting.garment.title}"
        for left, width in scale.spans(fitting.starts_at, fitting.ends_at):
            yield _box(left, row, width, words, FITTING_INK)


def _box(left: float, row: int, width: float, words: str, inks: tuple[str, str]) -> str:
    top = HEAD_HIGH + row * ROW_HIGH + 8
    letters = int(width / 6.2)
    place = f'x="{left + 4:.1f}" y="{top + 18}" font-size="11.5" fill="#23282e"'
    text = f"<text {place}>{escape(_cut(words, letters))}</text>" if letters >= 4 else ""
    return (
        f"<g><title>{escape(words)}</title>"
        f'<rect x="{left:.1f}" y="{top}" width="{max(width, 2):.1f}" height="{ROW_HIGH - 16}" rx="2" '
        f'fill="{inks[0]}" stroke="{inks[1]}"/>{text}</g>'
    )


def _cut(words: str, letters: int) -> str:
    return words if len(words) <= letters else words[: max(letters - 1, 1)].rstrip() + "…"
