"""What a fitting leaves with the wearer: fit notes as amounts and in words, and new measurements."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from drafting.body import FIT_NOTES
from drafting.units import Unit, format_length
from workshop.errors import Refusal
from workshop.people.models import MeasurementSet, Staff, Wearer
from workshop.people.queries import latest_measurements
from workshop.people.services import record_measurements
from workshop.people.services.log import write_log
from workshop.planning.models import Fitting
from workshop.planning.rules.alterations import SHOULDER_MM, Change, Lesson, learn, lesson

LONGEST_NOTES = 4000
"""As many characters as the wearer's page takes; what is older gives way."""

BEYOND = "beyond what a draft takes; look at the fit notes"


def note_on_wearer(
    *, fitting: Fitting, changes: Sequence[Change], words: Sequence[str], notes: str, now: datetime
) -> dict[Change, str]:
    """Leave fit notes on the wearer, within the caller's transaction: as amounts where there is one for a
    place, and in words.

    Returns: what each change taught of the figure, in words.
    """
    lessons = {change: found for change in changes if (found := _lesson(fitting, change)) is not None}
    line = " ".join(part for part in (f"{'; '.join(words)}." if words else "", notes) if part)
    if not lessons and not line:
        return {}
    wearer = Wearer.objects.select_for_update().get(pk=fitting.garment.wearer_id)
    before = wearer.fit
    wearer.fit, taken = learn(before, lessons.values())
    if line:
        wearer.fit_notes = _with_line(
            wearer.fit_notes, f"{fitting.workshop.day_of(now)}, {fitting.garment.title}: {line}"
        )
    wearer.version += 1  # an owner who has the wearer's page open must not write over it
    wearer.save(update_fields=["fit", "fit_notes", "version"])
    if any(taken):
        write_log(
            workshop=fitting.workshop,
            by=None,
            action="note fit",
            row=wearer,
            summary="A fitting taught how a wearer is to be fitted",
            now=now,
            before={"notes": sorted(before)},
            after={"notes": sorted(wearer.fit)},
        )
    unit = Unit(fitting.workshop.length_unit)
    return {
        change: _in_words(found, is_taken, unit)
        for (change, found), is_taken in zip(lessons.items(), taken, strict=True)
    }


def _lesson(fitting: Fitting, change: Change) -> Lesson | None:
    measured = fitting.garment.measurements
    shoulder = None if measured is None else measured.values.get("shoulder_length")
    return lesson(change, shoulder_mm=shoulder or SHOULDER_MM)


def _with_line(notes: str, line: str) -> str:
    """Return the notes with a line more, without the oldest lines that there is no room for."""
    lines = [*notes.splitlines(), line[:LONGEST_NOTES]]
    while len("\n".join(lines)) > LONGEST_NOTES:
        del lines[0]
    return "\n".join(lines).strip()


def _in_words(found: Lesson, is_taken: bool, unit: Unit) -> str:
    note = FIT_NOTES[found.note]
    sign = "+" if found.amount > 0 else "\u2212"
    size = (
        f"{format_length(abs(found.amount), unit)} {unit}"
        if note.kind == "length"
        else f"{abs(found.amount):g} degrees"
    )
    return f"{note.title} {sign}{size}" + ("" if is_taken else f": {BEYOND}")


def measure_again(
    *,
    fitting: Fitting,
    measures: Mapping[str, str],
    confirmed: Collection[str],
    by: Staff,
    now: datetime,
) -> MeasurementSet | None:
    """Keep the new measurements beside the others that still hold, as one set of the day; None without any.

    Raises: as ``record_measurements``; Refusal where nothing was measured before.
    """
    if not measures:
        return None
    held = fitting.garment.measurements or latest_measurements(fitting.garment.wearer)
    if held is None:
        raise Refusal("Nobody has measured this wearer yet: measure in full first.", field="measures")
    unit = fitting.workshop.length_unit
    known = held.typed if held.unit == unit else {name: f"{mm} mm" for name, mm in held.values.items()}
    answered = {row["field"] for row in held.confirmed}
    return record_measurements(
        wearer=fitting.garment.wearer,
        unit=unit,
        typed={**known, **measures},
        taken_by=by,
        taken_on=fitting.workshop.day_of(now),
        confirmed={*answered, *confirmed} - (set(measures) - set(confirmed)),
        now=now,
    )
