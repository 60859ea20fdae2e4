"""A problem and a plan as the plain JSON that the ``plan`` command reads and writes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from .errors import BadProblem
from .problem import Machine, Objective, Order, Placement, Plan, Problem, Resource, Span, Task, tidy

Found = TypeVar("Found")
_ABSENT = object()
LARGEST = 10**12


def read_problem(data: object) -> Problem:
    """Return the problem that a decoded JSON document describes.

    Optional, beside the contract's keys: ``machines`` (``[{"name": ..., "count": 1}, ...]``); a task's
    ``release`` (default 0), ``pinned`` (``{"resource": ..., "spans": [[start, end], ...]}``), ``due`` of its
    own, a ``wait`` of so many minutes after what it comes after, ``machines`` that it needs by name, and
    ``each``, its minutes by resource (then ``minutes`` may be left out). ``release`` 0, ``weight`` 1,
    ``after`` [] and ``split`` false may be left out; ``due`` may be left out, or null, only where the
    objective is the makespan.

    Raises:
        BadProblem: naming the field.
    """
    top = _mapping(data, "problem")
    objective = _objective(top)
    resources = tuple(_rows(top, "resources", "", _resource))
    orders = tuple(_rows(top, "orders", "", lambda row, field: _order(row, field, objective)))
    machines = tuple(_rows(top, "machines", "", _machine)) if top.get("machines") else ()
    return Problem(objective=objective, resources=resources, orders=orders, machines=machines)


def plan_to_contract(plan: Plan) -> dict[str, Any]:
    """Return the plan as plain JSON values, tasks in the order of the problem."""
    return {
        "contract": 1,
        "status": "optimal" if plan.optimal else "feasible",
        "objective": tidy(plan.objective),
        "bound": tidy(plan.bound),
        "seconds": round(plan.seconds, 3),
        "tasks": [[_placement_to_contract(place) for place in row] for row in plan.places],
    }


def read_places(data: object) -> tuple[tuple[Placement, ...], ...]:
    """Return the placements of a decoded plan, for a checker. Raises BadProblem, naming the field."""
    top = _mapping(data, "plan")
    rows = _value(top, "tasks", "")
    return tuple(
        tuple(
            _placement(place, f"tasks[{number}][{index}]")
            for index, place in enumerate(_list(row, f"tasks[{number}]"))
        )
        for number, row in enumerate(_list(rows, "tasks"))
    )


def _placement_to_contract(place: Placement) -> dict[str, Any]:
    return {"resource": place.resource, "spans": [list(span) for span in place.spans]}


def _objective(top: Mapping[str, Any]) -> Objective:
    given = _value(top, "objective", "")
    if given not in tuple(Objective):
        raise BadProblem("objective", f"must be 'tardiness' or 'makespan', not {given!r}")
    return Objective(given)


def _resource(row: Mapping[str, Any], field: str) -> Resource:
    openings = _value(row, "open", field)
    return Resource(
        name=_text(row, "name", field),
        open=None if openings is None else _spans(openings, f"{field}.open"),
    )


def _machine(row: Mapping[str, Any], field: str) -> Machine:
    return Machine(_text(row, "name", field), _whole(row, "count", field, default=1))


def _order(row: Mapping[str, Any], field: str, objective: Objective) -> Order:
    return Order(
        name=_text(row, "name", field),
        release=_whole(row, "release", field, default=0),
        due=_due(row, field, objective),
        weight=_number(row, "weight", field, default=1),
        tasks=tuple(_rows(row, "tasks", field, _task)),
    )


def _due(row: Mapping[str, Any], field: str, objective: Objective) -> int | None:
    if objective is Objective.MAKESPAN and row.get("due") is None:
        return None
    return _whole(row, "due", field)


def _task(row: Mapping[str, Any], field: str) -> Task:
    names = _list(_value(row, "resources", field), f"{field}.resources")
    after = _list(row.get("after", []), f"{field}.after")
    pinned = row.get("pinned")
    needs = _list(row.get("machines", []), f"{field}.machines")
    each = tuple(
        _as_whole(minutes, f"{field}.each[{n}]")
        for n, minutes in enumerate(_list(row.get("each", []), f"{field}.each"))
    )
    return Task(
        name=_text(row, "name", field),
        minutes=_whole(row, "minutes", field) if "minutes" in row or not each else min(each),
        each=each,
        machines=tuple(_as_text(name, f"{field}.machines[{n}]") for n, name in enumerate(needs)),
        wait=_whole(row, "wait", field, default=0),
        due=None if row.get("due") is None else _whole(row, "due", field),
        resources=tuple(_as_text(name, f"{field}.resources[{n}]") for n, name in enumerate(names)),
        after=tuple(_as_whole(index, f"{field}.after[{n}]") for n, index in enumerate(after)),
        split=_switch(row, "split", field),
        release=_whole(row, "release", field, default=0),
        pinned=None if pinned is None else _placement(pinned, f"{field}.pinned"),
    )


def _placement(value: object, field: str) -> Placement:
    row = _mapping(value, field)
    return Placement(_text(row, "resource", field), _spans(_value(row, "spans", field), f"{field}.spans"))


def _spans(value: object, field: str) -> tuple[Span, ...]:
    return tuple(_span(pair, f"{field}[{number}]") for number, pair in enumerate(_list(value, field)))


def _span(value: object, field: str) -> Span:
    pair = _list(value, field)
    if len(pair) != 2:
        raise BadProblem(field, "must be a pair [start, end]")
    return Span(_as_whole(pair[0], field), _as_whole(pair[1], field))


def _rows(
    row: Mapping[str, Any], key: str, inside: str, read: Callable[[Mapping[str, Any], str], Found]
) -> Sequence[Found]:
    field = _path(inside, key)
    rows = _list(_value(row, key, inside), field)
    if not rows:
        raise BadProblem(field, "is empty; there is nothing to plan")
    return [read(_mapping(item, f"{field}[{n}]"), f"{field}[{n}]") for n, item in enumerate(rows)]


def _path(inside: str, key: str) -> str:
    return f"{inside}.{key}" if inside else key


def _value(row: Mapping[str, Any], key: str, inside: str) -> Any:
    if key not in row:
        raise BadProblem(_path(inside, key), "is missing")
    return row[key]


def _mapping(value: object, field: str) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise BadProblem(field, f"must be an object, not {_shown(value)}")
    return value


def _list(value: object, field: str) -> Sequence[Any]:
    if not isinstance(value, list):
        raise BadProblem(field, f"must be a list, not {_shown(value)}")
    return value


def _text(row: Mapping[str, Any], key: str, inside: str) -> str:
    return _as_text(_value(row, key, inside), _path(inside, key))


def _as_text(value: object, field: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise BadProblem(field, f"must be a name, not {_shown(value)}")
    return value


def _switch(row: Mapping[str, Any], key: str, inside: str) -> bool:
    value = row.get(key, False)
    if not isinstance(value, bool):
        raise BadProblem(_path(inside, key), f"must be true or false, not {_shown(value)}")
    return value


def _whole(row: Mapping[str, Any], key: str, inside: str, *, default: object = _ABSENT) -> int:
    value = _value(row, key, inside) if default is _ABSENT else row.get(key, default)
    return _as_whole(value, _path(inside, key))


def _as_whole(value: object, field: str) -> int:
    number = _as_number(value, field)
    if number != int(number):
        raise BadProblem(field, f"must be a whole number of minutes, not {_shown(value)}")
    return int(number)


def _number(row: Mapping[str, Any], key: str, inside: str, *, default: float) -> float:
    return tidy(_as_number(row.get(key, default), _path(inside, key)))


def _as_number(value: object, field: str) -> float | int:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise BadProblem(field, f"must be a number, not {_shown(value)}")
    if isinstance(value, float) and not math.isfinite(value):
        raise BadProblem(field, f"must be a finite number, not {value}")
    if abs(value) > LARGEST:
        raise BadProblem(field, f"is beyond {LARGEST}, far too large for minutes or weights")
    return value


def _shown(value: object) -> str:
    """Return the value short enough for one line of a message."""
    text = "nothing" if value is None else repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
