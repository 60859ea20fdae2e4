"""What the owner changes of a garment's operation list: one form over all of its rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from hashlib import sha256
from typing import Any

from django import forms

from costing.rules.labour import Group, Operation
from costing.rules.revising import LONGEST_NAME, MOST_MINUTES, Added, Revision
from costing.rules.worktimes import FIT, PHASE_TITLES
from workshop.desk.editing import VersionForm
from workshop.desk.forms.numbers import NumberField

GROUPS = [(str(group), str(group)) for group in Group if group is not Group.FIT]
PHASES = [(number, title) for number, title in enumerate(PHASE_TITLES) if number != FIT]


@dataclass(frozen=True, slots=True)
class Row:
    """An operation with the fields of its row; trying on has no place of its own to change."""

    operation: Operation
    minutes: forms.BoundField
    place: forms.BoundField
    removed: forms.BoundField


class OperationsForm(VersionForm):
    """Minutes, place inside the phase and presence of each operation; a new one; why.

    Args:
        reckoned: the list as the rules give it.
        held: the revision that holds, and ``listed``, what it makes of the list.
    """

    draft = forms.IntegerField(widget=forms.HiddenInput)
    added_name = forms.CharField(required=False, max_length=LONGEST_NAME, label="What is done")
    added_group = forms.ChoiceField(required=False, choices=GROUPS, label="Kind of work", initial="sew")
    added_phase = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, choices=PHASES, label="When", initial=4
    )
    added_minutes = NumberField(
        required=False, min_value=0, max_value=int(MOST_MINUTES), decimal_places=1, label="Minutes"
    )
    reason = forms.CharField(max_length=300, label="Why the list is changed")

    def __init__(
        self,
        *args: Any,
        reckoned: Sequence[Operation],
        listed: Sequence[Operation],
        held: Revision,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.listed, self.held = listed, held
        here = {operation.name for operation in listed}
        self.off = [operation for operation in reckoned if operation.name not in here]
        for place, operation in self._placed():
            key, name = _key(operation.name), operation.name
            self.fields[f"minutes_{key}"] = NumberField(
                required=False,
                min_value=0,
                max_value=int(MOST_MINUTES),
                decimal_places=1,
                label=f"Minutes: {name}",
                initial=Decimal(str(round(operation.minutes, 1))),  # a float would count as changed
            )
            self.fields[f"place_{key}"] = forms.IntegerField(
                required=False, min_value=1, max_value=999, label=f"Place: {name}", initial=place
            )
            self.fields[f"removed_{key}"] = forms.BooleanField(required=False, label=f"Take off: {name}")
            for part in ("minutes", "place"):  # whose labels are columns of a table
                field = self.fields[f"{part}_{key}"]
                field.widget.attrs["aria-label"] = field.label
        for operation in self.off:
            self.fields[f"back_{_key(operation.name)}"] = forms.BooleanField(
                required=False, label=f"{operation.name}, {operation.minutes:.0f} min"
            )

    def phases(self) -> list[tuple[str, list[Row]]]:
        """The rows under the titles of their phases, in order."""
        found: dict[int, list[Row]] = {}
        for operation in self.listed:
            key = _key(operation.name)
            fields = (self[f"{part}_{key}"] for part in ("minutes", "place", "removed"))
            found.setdefault(operation.phase, []).append(Row(operation, *fields))
        return [(PHASE_TITLES[phase], rows) for phase, rows in found.items()]

    def taken_off(self) -> list[forms.BoundField]:
        return [self[f"back_{_key(operation.name)}"] for operation in self.off]

    def additions(self) -> list[forms.BoundField]:
        return [self[f"added_{part}"] for part in ("name", "group", "phase", "minutes")]

    def row_faults(self) -> list[str]:
        """What is wrong in the rows, each with its operation's name."""
        return [
            f"{self.fields[name].label}: {fault}"
            for name, faults in self.errors.items()
            if name.partition("_")[0] in {"minutes", "place", "removed"} and name in self.fields
            for fault in faults
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        given = [data.get("added_name"), data.get("added_minutes")]
        if any(value not in (None, "") for value in given):
            for name, value in zip(("added_name", "added_minutes"), given, strict=True):
                if value in (None, "") and name not in self.errors:
                    self.add_error(name, "An operation that is added has a name and minutes.")
        return data

    def revision(self) -> Revision:
        """What was asked for, of a valid form. Raises: BadAmount."""
        gone = {row.name for row in self.listed if self.cleaned_data[f"removed_{_key(row.name)}"]}
        back = {row.name for row in self.off if self.cleaned_data[f"back_{_key(row.name)}"]}
        kept = tuple(one for one in self.held.added if one.name not in gone)
        own = {one.name for one in self.held.added}
        return Revision(
            minutes=dict(self._minutes()),
            removed=(self.held.removed | (gone - own)) - back,
            added=(*kept, *self._addition()),
            order={**self.held.order, **dict(self._orders())},
        )

    def _placed(self) -> Iterator[tuple[int, Operation]]:
        """Each operation with its place inside its phase, from 1."""
        counts: dict[int, int] = {}
        for operation in self.listed:
            counts[operation.phase] = counts.get(operation.phase, 0) + 1
            yield counts[operation.phase], operation

    def _minutes(self) -> Iterator[tuple[str, float]]:
        """The owner's minutes; a field left empty goes back to what is reckoned."""
        here = {operation.name for operation in self.listed}
        yield from ((name, value) for name, value in self.held.minutes.items() if name not in here)
        for operation in self.listed:
            field = f"minutes_{_key(operation.name)}"
            value = self.cleaned_data[field]
            if value is None:
                continue
            if field in self.changed_data:
                yield operation.name, float(value)
            elif operation.name in self.held.minutes:
                yield operation.name, self.held.minutes[operation.name]

    def _orders(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Of each phase in which a place was changed, the names in their new order."""
        rows: dict[int, list[tuple[float, str]]] = {}
        moved = set()
        for place, operation in self._placed():
            wished = self.cleaned_data[f"place_{_key(operation.name)}"] or place
            # One put on a taken place goes before the one that has it, or after it on its way down.
            shift = 0.0 if wished == place else 0.5 if wished > place else -0.5
            rows.setdefault(operation.phase, []).append((wished + shift, operation.name))
            if shift:
                moved.add(operation.phase)
        for phase in sorted(moved):
            yield phase, tuple(name for _, name in sorted(rows[phase], key=lambda row: row[0]))

    def _addition(self) -> Iterator[Added]:
        data = self.cleaned_data
        if data["added_name"]:
            phase = data["added_phase"]
            yield Added(
                data["added_name"],
                Group(data["added_group"] or Group.SEW),
                float(data["added_minutes"]),
                4 if phase is None else phase,
            )


def _key(name: str) -> str:
    """A short name of a field for an operation, the same whatever else the list holds."""
    return sha256(name.encode()).hexdigest()[:12]
