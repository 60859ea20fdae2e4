"""The work of a garment, read from its own draft: one list that prices it, orders it and fills the plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from costing.errors import BadAmount
from costing.rules import worktimes
from costing.rules.labour import Group, Operation
from costing.rules.thread import Stitched
from costing.rules.workstudy import running_minutes, standard_time
from costing.rules.worktimes import (
    BY_HAND,
    LOCKSTITCH,
    MACHINES,
    OVEREDGE,
    SEAM_WORK,
    STANDARD_WORK,
    ZIGZAG,
    Work,
)
from drafting.details.buttons import buttonholes
from drafting.geometry import distance
from drafting.pattern import Draft, EdgeKind, MarkKind, Method, Piece, PleatRun, Seam

CLOTHS = ("shell", "lining", "interfacing")
ON_PAPER = frozenset({MarkKind.LENGTHEN, MarkKind.GUIDE})
"""Marks for whoever alters the pattern; they are not carried to the cloth."""
TURNED_UP_MM = 12.0
"""A hem edge with less allowance than this is only neatened (the inner edge of a facing).

Common practice, no source.
"""
SEWN_ONCE = frozenset({Method.ZIP, Method.FACED, Method.ENCLOSED, Method.LINED, Method.TOPSTITCHED})


@dataclass(frozen=True, slots=True)
class _Step:
    """An operation before its allowance and its place in the order are known."""

    phase: int
    kind: str
    name: str
    group: Group
    handling: float
    why: str
    rows: tuple[Stitched, ...] = ()
    seam_class: str = ""
    seam_length_mm: float = 0.0
    slower: float = 1.0


def operations(
    draft: Draft, skill: float = 1.0, *, work: Work = STANDARD_WORK, fittings: int = 1
) -> tuple[Operation, ...]:
    """Return the operations of a garment in sewing order.

    Args:
        draft: its pattern; seams of one kind keep the order in which the draft lists them.
        skill: pace of the worker beside the standard, 1.0; at 0.7 an apprentice needs 1 / 0.7 of the minutes.
        work: standard times.
        fittings: how often it is tried on before the hem.

    Raises: BadAmount for a pace outside 0.2 to 3, or fittings outside 0 to 10.

    Source: work study (standard time = normal time x (1 + allowance)); stitches = density x length. Handling
    times: see ``costing.rules.worktimes``.
    """
    if not 0.2 <= skill <= 3:
        raise BadAmount("A worker's pace must be from 0.2 to 3; 1 is the standard.", field="skill")
    if not 0 <= fittings <= 10:
        raise BadAmount("Plan from 0 to 10 fittings.", field="fittings")
    steps = sorted(_steps(draft, work, fittings), key=lambda step: step.phase)
    names: dict[str, int] = {}
    done: list[Operation] = []
    for place, step in enumerate(steps, start=1):
        names[step.name] = names.get(step.name, 0) + 1
        again = names[step.name]
        name = step.name if again == 1 else f"{step.name} ({again})"
        done.append(_operation(replace(step, name=name), place, skill, work.allowance))
    return tuple(done)


def _operation(step: _Step, order: int, skill: float, allowance: float) -> Operation:
    main = MACHINES[step.rows[0].stitch_class] if step.rows else None
    running = step.slower * sum(_running(row) for row in step.rows)
    minutes = standard_time(running + step.handling, allowance) / skill
    return Operation(
        name=step.name,
        group=step.group,
        minutes=minutes,
        stitch_class=main.stitch_class if main else "",
        seam_length_mm=step.seam_length_mm,
        why=_reason(step, running, allowance, skill),
        order=order,
        phase=step.phase,
        kind=step.kind,
        seam_class=step.seam_class,
        stitches_per_cm=main.stitches_per_cm if main else 0.0,
        stitches_per_minute=main.stitches_per_minute if main else 0.0,
        running=running,
        handling=step.handling,
        allowance=allowance,
        stitched=step.rows,
    )


def _running(row: Stitched) -> float:
    machine = MACHINES[row.stitch_class]
    return running_minutes(
        row.length_mm,
        stitches_per_cm=machine.stitches_per_cm,
        stitches_per_minute=machine.stitches_per_minute,
    )


def _reason(step: _Step, running: float, allowance: float, skill: float) -> str:
    parts = [step.why]
    if step.rows:
        stitching = "by hand" if step.rows[0].stitch_class == BY_HAND else "machine running"
        parts.append(f"{stitching} {running:.1f} min")
    parts.append(f"handling {step.handling:.1f} min")
    parts.append(f"allowance {allowance:.0%}")
    if skill != 1:
        parts.append(f"pace {skill:g}")
    return "; ".join(parts)


def _steps(draft: Draft, work: Work, fittings: int) -> Iterator[_Step]:
    yield from _cutting(draft, work)
    yield from _preparing(draft, work)
    yield from _pleats(draft, work)
    yield from _seams(draft)
    yield from _closed_darts(draft)
    yield from _fitting(fittings, work)
    yield from _lapels(draft, work)
    yield from _hems(draft, work)
    yield from _notions(draft, work)
    yield from _finishing(work)


def _copies(piece: Piece, cloth: str) -> int:
    return sum(cut.count for cut in piece.cuts if cut.cloth == cloth)


def _drawn_times(piece: Piece, cloth: str) -> int:
    """How often a line drawn on a piece is met on the garment: a half on the fold has it twice."""
    return sum(cut.count * (2 if cut.on_fold else 1) for cut in piece.cuts if cut.cloth == cloth)


def _cutting(draft: Draft, work: Work) -> Iterator[_Step]:
    for cloth in CLOTHS:
        count = sum(_copies(piece, cloth) for piece in draft.pieces)
        if not count:
            continue
        metres = sum(_outline_mm(piece) * _copies(piece, cloth) for piece in draft.pieces) / 1000
        notches = sum(len(piece.notches) * _copies(piece, cloth) for piece in draft.pieces)
        handling = work.spread_cloth + count * work.cut_piece + metres * work.cut_per_m + notches * work.notch
        yield _Step(
            worktimes.CUT,
            "cut",
            f"Cut the {cloth}",
            Group.CUT,
            handling,
            f"{count} {_plural('piece', count)}, {metres:.1f} m of edge, "
            f"{notches} {_plural('notch', notches)}",
        )


def _outline_mm(piece: Piece) -> float:
    return sum(edge.length for edge in piece.edges if edge.kind is not EdgeKind.FOLD)


def _preparing(draft: Draft, work: Work) -> Iterator[_Step]:
    marks = sum(
        _copies(piece, cloth)
        for piece in draft.pieces
        for mark in piece.marks
        for cloth in CLOTHS[:2]
        if mark.kind not in ON_PAPER
    )
    if marks:
        name = "Mark darts, folds and places on the cut pieces"
        yield _Step(worktimes.PREPARE, "mark", name, Group.PREPARE, marks * work.mark, f"{marks} marks")
    fused = sum(_copies(piece, "interfacing") for piece in draft.pieces)
    if fused:
        handling = fused * work.fuse_piece
        why = f"{fused} {_plural('piece', fused)}"
        yield _Step(worktimes.PREPARE, "fuse", "Fuse the interfacing", Group.PREPARE, handling, why)
    name = "Thread the machines and sew a test seam"
    yield _Step(worktimes.PREPARE, "set up", name, Group.PREPARE, work.set_up_machines, "once a garment")


def _pleats(draft: Draft, work: Work) -> Iterator[_Step]:
    for run in draft.pleats:
        piece = draft.piece(run.piece)
        for cloth in CLOTHS[:2]:
            times = _drawn_times(piece, cloth)
            if times and run.underlays:
                yield _pleat_step(run, times, cloth, work)


def _pleat_step(run: PleatRun, times: int, cloth: str, work: Work) -> _Step:
    pleats = len(run.underlays) * times
    length = run.finished_width * times
    of = "" if cloth == "shell" else f", {cloth}"
    return _Step(
        worktimes.PLEATS,
        "pleats",
        f"Fold and baste the pleats, {run.piece}{of}",
        Group.SEW,
        pleats * work.pleat + length / 1000 * work.pleat_baste_per_m,
        f"{pleats} {run.kind} {_plural('pleat', pleats)}, basted over {length / 10:.0f} cm",
        (Stitched(LOCKSTITCH, length),),
        "8",
        length,
    )


def _seams(draft: Draft) -> Iterator[_Step]:
    """Seams in the draft's order; the wearer tries the garment on before it is closed by its zip."""
    closing = False
    for seam in draft.seams:
        closing = closing or seam.method is Method.ZIP
        for step in _seam(draft, seam):
            yield replace(step, phase=worktimes.CLOSE) if closing and step.phase == worktimes.JOIN else step


def _seam(draft: Draft, seam: Seam) -> Iterator[_Step]:
    sides = draft.side_length(seam.a), draft.side_length(seam.b)
    folded = seam.method in {Method.PLEATED, Method.GATHERED}
    # What is pleated or gathered is sewn at the length of the side that it is brought down to.
    length = (min(sides) if folded else max(sides)) * seam.times
    if length <= 0:
        return
    full = max(sides) * seam.times if seam.method is Method.GATHERED else 0.0
    for cloth in _sewn_in(draft, seam):
        yield from _joined(seam.method, _seam_name(seam), length, seam.times, cloth, gathered=full)


def _sewn_in(draft: Draft, seam: Seam) -> tuple[str, ...]:
    """The cloths in which a seam is sewn: a piece cut of shell and of lining has its seams in both.

    A seam between a shell piece and a lining is sewn once; so are zips, facings and collars.
    """
    if seam.method in SEWN_ONCE:
        return ("shell",)
    pieces = [draft.piece(ref.piece) for ref in (*seam.a, *seam.b)]
    cloths = [{cut.cloth for cut in piece.cuts} - {"interfacing"} for piece in pieces]
    common = set.intersection(*cloths) if cloths else set()
    return tuple(cloth for cloth in CLOTHS if cloth in common) or ("shell",)


def _joined(
    method: Method, what: str, length: float, count: int, cloth: str, *, gathered: float = 0.0
) -> Iterator[_Step]:
    way, metres = SEAM_WORK[method], length / 1000
    named = cloth == "shell" or cloth in what  # the seam's own name may say the cloth already
    what = _repeated(what if named else f"{what} of the {cloth}", count)
    neaten = (Stitched(OVEREDGE, 2 * length),) if way.neatened else ()
    gathers = (Stitched(LOCKSTITCH, gathered),) * 2 if gathered else ()
    times = "once" if count == 1 else f"{count} times"
    yield _Step(
        way.phase,
        str(method),
        f"{way.verb} the {what}",
        Group.SEW,
        count * way.pick_up + metres * (way.pin_per_m + way.after_per_m),
        f"{length / 10:.0f} cm, sewn {times}" + (", both edges neatened" if neaten else ""),
        (*(Stitched(LOCKSTITCH, length) for _ in range(way.rows)), *gathers, *neaten),
        way.seam_class,
        length,
        way.curve,
    )
    once, per_metre = way.press
    handling = count * once + metres * per_metre
    why = f"{length / 10:.0f} cm at the iron"
    yield _Step(way.phase, "press", f"Press the {what}", Group.PRESS, handling, why)


def _seam_name(seam: Seam) -> str:
    name = seam.name
    if seam.method is Method.ZIP and "zip" not in name:
        name = f"zip, {name}"
    if seam.method is Method.DART:
        name = _dart_name(name)
    return name


def _dart_name(name: str) -> str:
    return name if "dart" in name else f"{name} dart"


def _repeated(name: str, times: int) -> str:
    """What is sewn twice is sewn left and right."""
    return {1: name, 2: f"{name}, left and right"}.get(times, f"{name}, {times} times")


def _closed_darts(draft: Draft) -> Iterator[_Step]:
    """Darts inside a piece, and open darts that no seam of the draft names."""
    named = {(ref.piece, ref.edge) for seam in draft.seams for ref in (*seam.a, *seam.b)}
    for dart in draft.darts:
        if dart.leg_edges and (dart.piece, dart.leg_edges[0]) in named:
            continue
        leg = max(distance(dart.start, dart.apex), distance(dart.apex, dart.end))
        for cloth in CLOTHS[:2]:
            times = _drawn_times(draft.piece(dart.piece), cloth)
            if times and leg > 0:
                what = f"{_dart_name(dart.name)} of the {dart.piece}"
                yield from _joined(Method.DART, what, leg * times, times, cloth)


def _fitting(fittings: int, work: Work) -> Iterator[_Step]:
    for number in range(1, fittings + 1):
        name = "Baste for the fitting" if fittings == 1 else f"Baste for fitting {number}"
        why = "by hand, long stitches"
        yield _Step(worktimes.FIT, "baste", name, Group.FIT, work.baste_for_fitting, why)
        name = "Try on, pin and mark" if fittings == 1 else f"Try on, pin and mark, fitting {number}"
        yield _Step(worktimes.FIT, "try on", name, Group.FIT, work.fitting, "with the wearer")


def _lapels(draft: Draft, work: Work) -> Iterator[_Step]:
    lapels = sum(_drawn_times(draft.piece(line.piece), "shell") for line in draft.roll_lines)
    if lapels:
        why = f"{lapels} roll {_plural('line', lapels)}"
        handling = lapels * work.roll_line
        name = "Shape and press the roll of the lapels"
        yield _Step(worktimes.JOIN, "press", name, Group.PRESS, handling, why)


def _hems(draft: Draft, work: Work) -> Iterator[_Step]:
    for cloth in CLOTHS[:2]:
        turned, raw = _hem_lengths(draft, cloth)
        if raw > 0:
            yield _raw_edge_step(raw, cloth, work)
        if turned > 0:
            yield _hem_step(turned, cloth, work)


def _hem_lengths(draft: Draft, cloth: str) -> tuple[float, float]:
    """Length of edge that is turned up, and of edge that is only neatened, mm on the whole garment."""
    turned = raw = 0.0
    for piece in draft.pieces:
        for edge in piece.edges:
            if edge.kind is EdgeKind.HEM:
                length = edge.length * _drawn_times(piece, cloth)
                turned += length if edge.allowance >= TURNED_UP_MM else 0.0
                raw += length if edge.allowance < TURNED_UP_MM else 0.0
    return turned, raw


def _raw_edge_step(length: float, cloth: str, work: Work) -> _Step:
    of = "facings" if cloth == "shell" else cloth
    return _Step(
        worktimes.PREPARE,
        "neaten",
        f"Neaten the free edges of the {of}",
        Group.SEW,
        work.hem_pin + length / 1000 * work.raw_edge_per_m,
        f"{length / 10:.0f} cm of edge",
        (Stitched(OVEREDGE, length),),
        "6",
        length,
    )


def _hem_step(length: float, cloth: str, work: Work) -> _Step:
    by_hand = cloth == "shell"
    rows = (
        (Stitched(BY_HAND, length), Stitched(OVEREDGE, length))
        if by_hand
        else (Stitched(LOCKSTITCH, length),)
    )
    name = "Turn up the hems and sew them by hand" if by_hand else f"Hem the {cloth}"
    return _Step(
        worktimes.HEM,
        "hem",
        name,
        Group.FINISH if by_hand else Group.SEW,
        work.hem_pin + length / 1000 * work.hem_per_m,
        f"{length / 10:.0f} cm of hem",
        rows,
        "6",
        length,
    )


def _notions(draft: Draft, work: Work) -> Iterator[_Step]:
    yield from _buttonholes(draft, work)
    counts: dict[str, int] = {}
    for need in draft.notions:  # the buttons of front and cuffs are one round of work
        counts[need.kind] = counts.get(need.kind, 0) + round(need.count)
    for kind, count in counts.items():
        if count > 0:
            yield from _notion_steps(kind, count, work)


def _buttonholes(draft: Draft, work: Work) -> Iterator[_Step]:
    """Not every button has one: some are sewn through, or closed by a loop."""
    count = sum(buttonholes(piece) for piece in draft.pieces)
    if count:
        length = count * work.buttonhole_mm
        yield _Step(
            worktimes.FINISH,
            "buttonhole",
            f"Work {count} {_plural('buttonhole', count)}",
            Group.SEW,
            count * work.buttonhole,
            "marked, worked, cut open",
            (Stitched(ZIGZAG, length),),
            "6",
            length,
        )


def _notion_steps(kind: str, count: int, work: Work) -> Iterator[_Step]:
    many = f"{count} {_plural(kind, count)}"
    if kind in _NOTION_WORK:
        phase, group, verb, minutes, why = _NOTION_WORK[kind]
        yield _Step(
            phase,
            kind,
            verb.format(many=many),
            group,
            count * float(getattr(work, minutes)),
            why.format(lengths=f"{count} {_plural('length', count)}"),
            seam_class="7",
        )


_NOTION_WORK = {
    "button": (worktimes.FINISH, Group.FINISH, "Sew on {many}", "button", "by hand"),
    "hook": (worktimes.FINISH, Group.FINISH, "Sew on {many}", "hook", "by hand"),
    "tape": (worktimes.JOIN, Group.SEW, "Sew in {many}", "tape", "held while sewing"),
    # After the hem that it runs in.
    "elastic": (
        worktimes.HEM,
        Group.SEW,
        "Draw in the elastic and join its ends",
        "elastic",
        "{lengths} of elastic, tried on",
    ),
}
"""Of a kind of notion: phase, kind of work, what is done, the standard time of one, and why so long."""


def _finishing(work: Work) -> Iterator[_Step]:
    for kind, name, group, minutes, why in (
        ("trim", "Take out basting and trim threads", Group.FINISH, work.trim, "once a garment"),
        ("final press", "Press the finished garment", Group.PRESS, work.final_press, "once a garment"),
        (
            "look over",
            "Look it over",
            Group.FINISH,
            work.look_over,
            "measure against the draft, look over every seam",
        ),
    ):
        yield _Step(worktimes.FINISH, kind, name, group, minutes, why)


def _plural(word: str, count: int) -> str:
    if count == 1:
        return word
    return f"{word}es" if word.endswith("ch") else f"{word}s"
