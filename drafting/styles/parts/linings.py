"""The lining of an upper garment: the shell again, without what its facings cover."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from drafting.blocks.centre import Centre, centre_strokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import NEAR, Line, Path, Point, distance, intersect
from drafting.making import Corner, Making, Phase, Run, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import round_armhole, sew_cap

NO_LINING, BODICE, FULL = "none", "bodice", "full"
LABELS = {NO_LINING: "none", BODICE: "bodice only", FULL: "bodice and skirt"}
IN_ONE_PIECE = {NO_LINING: "none", BODICE: "without the sleeves", FULL: "with its sleeves, if any"}
_LEAST_BESIDE = 14.0  # mm of lining between a facing and the armhole (common practice, no source)
_CLEAR = 10.0  # mm from a lining's hem to the vent or slit below it
_SAME = 0.05  # mm: a shoulder seam with less ease than this is plain


@dataclass(frozen=True, slots=True)
class Lining:
    """Lines the upper where the choice "lining" asks for it; comes after neck, collar, sleeves and skirt."""

    offered: tuple[str, ...] = (NO_LINING, BODICE)
    in_one_piece: bool = False
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        labels = IN_ONE_PIECE if self.in_one_piece else LABELS
        options = tuple((name, labels[name]) for name in self.offered)
        return (Choice("lining", "Lining", "option", self.offered[0], options),)

    def make(self, making: Making) -> None:
        """Draw the lining of front and back and join it to facings, armholes and waist."""
        if making.chosen("lining", NO_LINING) == NO_LINING:
            return
        for side in ("front", "back"):
            making.add(_lining(making, side))
            _name_lines(making, side)
        _make_up(making)
        for side in ("front", "back"):
            _sew_centre(making, side)
            _join(making, side)
        making.note(
            Phase.LINING,
            "Make up the lining and join it to the free edges of the facings. Where there is no sleeve it "
            "finishes the armholes: sew shell to lining, clip, understitch, and turn through the shoulders.",
        )


def is_lined(making: Making) -> bool:
    """Whether the upper is lined: facings are then joined to the lining, and armholes need no facing."""
    return making.chosen("lining", NO_LINING) != NO_LINING


def _lining(making: Making, side: str) -> Sketch:
    """Lower edge, side, armhole and darts of the shell; shoulder and neck without what is faced."""
    shell = making.shell(side)
    join = _facing_join(making, side)
    _refuse_at_armhole(join.path, shell.path("armhole"))
    _refuse_over_darts(join.path, shell)
    lower, sides = _waist(making, side, join), _between(shell, "side")
    if not lower:
        lower, sides = _hung_free(making, side, sides)
    top = join.path.end
    foot = lower[0].path.start
    closed = distance(top, foot) > NEAR
    centre = making.centre(side) if closed else Centre("seam")
    sketch = Sketch(
        _name(making, side),
        [
            *lower,
            *sides,
            shell.stroke("armhole"),
            Stroke("shoulder", _rest(shell.path("shoulder"), join.path.start), EdgeKind.SEAM, _seam(making)),
            join,
            *(_centre_strokes(making, centre, side, top, foot) if closed else ()),
        ],
        (_cut(centre),),
        shell.grain,
        is_front=shell.is_front,
        darts=list(shell.darts),
        turned=("hem",),
    )
    sketch.marks = [mark for mark in shell.marks if mark.kind in {MarkKind.DART, MarkKind.DRILL}]
    sketch.notches = [notch for notch in shell.notches if notch[0] == "armhole"]
    return sketch


def _sew_centre(making: Making, side: str) -> None:
    """A lining cut apart at its centre for a seam there has one, too."""
    name, edge = _name(making, side), f"centre {side}"
    if making.centre(side).kind == "seam" and any(s.name == edge for s in making.sketches[name].strokes):
        making.sew(Phase.LINING, f"{edge} of the lining", run(name, edge), run(name, edge), times=1)


def _centre_strokes(making: Making, centre: Centre, side: str, top: Point, foot: Point) -> list[Stroke]:
    """The centre from the facing down: straight, or as it bends in the shell of a hollow back."""
    straight = centre_strokes(centre, side, top, foot, making.house)
    shell = {stroke.name: stroke for stroke in making.shell(side).strokes}
    bent = [shell[stroke.name] for stroke in straight if stroke.name in shell]
    if len(bent) < len(straight) or all(len(stroke.path.segments) == 1 for stroke in bent):
        return straight
    paths = [list(stroke.path.segments) for stroke in bent]
    paths[0][0], paths[-1][-1] = Line(top, paths[0][0].end), Line(paths[-1][-1].start, foot)
    return [replace(stroke, path=Path(tuple(path))) for stroke, path in zip(bent, paths, strict=True)]


def _refuse_at_armhole(join: Path, armhole: Path) -> None:
    """Raises: BadChoice where a facing leaves too little lining beside the armhole to be sewn."""
    edge = armhole.flatten(1.0)
    if min(distance(point, other) for point in join.flatten(1.0)[1:] for other in edge) < _LEAST_BESIDE:
        raise BadChoice(
            "the facing of so wide a neckline reaches the armhole and leaves no lining beside it: choose a "
            "narrower neckline, a bias strip in the place of the facing, or no lining",
            field="lining",
        )


def _refuse_over_darts(join: Path, shell: Sketch) -> None:
    """Raises: BadChoice where a facing covers part of a dart that the lining has at its edge."""
    legs = [shell.path(edge) for dart in shell.darts if dart.leg_edges for edge in dart.leg_edges]
    if any(intersect(join, leg) for leg in legs):
        raise BadChoice(
            "the facing of so wide a neckline runs over a dart, which the lining must take in too: choose a "
            "narrower neckline, a bias strip in the place of the facing, or no lining",
            field="lining",
        )


def _name(making: Making, side: str) -> str:
    return f"{making.shells[side]} lining"


def _seam(making: Making) -> float:
    return making.house["seam_allowance"]


def _curved(making: Making) -> float:
    """The allowance where the lining meets a facing: that edge bends more tightly than a plain seam."""
    return making.house["enclosed_allowance"]


def _cut(centre: Centre) -> Cut:
    return centre.cut("lining")


def _facing_join(making: Making, side: str) -> Stroke:
    """The facing's free edge from the shoulder inward; the neckline itself where nothing faces it."""
    facing = making.lines.get(f"{side} facing inner")
    if facing is None:
        return making.shell(side).stroke("neck")
    return Stroke("facing join", making.run_path(f"{side} facing inner"), EdgeKind.SEAM, _curved(making))


def _rest(shoulder: Path, start: Point) -> Path:
    """The shoulder beyond what the facing covers."""
    faced = distance(shoulder.start, start)
    return shoulder if faced <= NEAR else shoulder.split_at(faced)[1]


def _waist(making: Making, side: str, join: Stroke) -> list[Stroke]:
    """The waist from where the facing leaves it outward, darts included; empty for a shell without one.

    A facing may end at the centre.
    """
    shell = making.shell(side)
    names = [step.edge for step in making.lines.get(f"{side} waist", ())]
    if not names:
        return []
    first = next(
        (name for name in names if distance(shell.path(name).start, join.path.end) <= NEAR), names[0]
    )
    strokes = shell.strokes
    at, last = strokes.index(shell.stroke(first)), strokes.index(shell.stroke(names[-1]))
    return strokes[at : last + 1]


def _hung_free(making: Making, side: str, sides: list[Stroke]) -> tuple[list[Stroke], list[Stroke]]:
    """The hem of a lining that hangs free, and its side seam down to there.

    It ends shorter than the shell, and above a vent or a slit.
    """
    shell, house = making.shell(side), making.house
    hem = shell.path("hem")
    front_hem, lowest = making.shell("front").path("hem"), sides[0]
    front = _between(making.shell("front"), "side")[0].path
    by = max(house["lining_hem"], _free_above(making) - front_hem.start.y)
    # Both sides are cut off alike, also where a hollow back's hangs at another angle.
    short = front.length - _reached(front, front_hem.end.y + by)
    seam = lowest.path.split_at(lowest.path.length - short)[0]
    wide, up = seam.end.x / hem.end.x, seam.end.y - hem.end.y
    raised = hem.mapped(lambda point: Point(point[0] * wide, point[1] + up))
    stroke = Stroke("hem", raised, EdgeKind.HEM, house["hem_depth"] / 2)
    return [stroke], [Stroke(lowest.name, seam, lowest.kind, lowest.allowance), *sides[1:]]


def _free_above(making: Making) -> float:
    """The height that a lining must end above: where a vent or a slit of either side begins."""
    openings = [
        point.y + _CLEAR
        for side in ("front", "back")
        for stroke in making.shell(side).strokes
        if stroke.name.split()[0] in {"vent", "slit"}
        for point in (stroke.path.start, stroke.path.end)
    ]
    return max(openings, default=-inf)


def _reached(path: Path, y: float) -> float:
    """How far along a falling path a height is reached, mm. Raises: CannotDraft: never on its way."""
    low, high = 0.0, path.length
    if not path.end.y < y < path.start.y:
        raise CannotDraft(
            "so short a garment leaves no lining above its vent or slits: choose none, or no lining",
            field="lining",
        )
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if path.point_at(middle).y > y else (low, middle)
    return high


def _between(shell: Sketch, word: str) -> list[Stroke]:
    """The strokes of the side from below upward, the bust darts between them."""
    at = [i for i, stroke in enumerate(shell.strokes) if stroke.name.split()[0] == word]
    return shell.strokes[at[0] : at[-1] + 1]


def _join(making: Making, side: str) -> None:
    """Join the lining to facing or neckline and to a waist; name its lines by role."""
    name, facing = _name(making, side), making.lines.get(f"{side} facing inner")
    if facing is None:
        joined = run(name, "neck"), making.lines[f"{side} neck"]
        making.sew(Phase.LINING, f"lining at the neck, {side}", *joined, Method.LINED)
    else:
        _as_seam(making, facing)
        joined = run(name, "facing join"), facing
        making.sew(Phase.LINING, f"lining to {facing[0].piece}", *joined, Method.LINED)
    waist = _waist_of(making, side)
    if waist:
        hung = making.lines[f"{side} lining lower"], waist
        making.sew(Phase.LINING, f"lining at the waist, {side}", *hung, Method.LINED)


def _name_lines(making: Making, side: str) -> None:
    name, waist = _name(making, side), _waist_of(making, side)
    making.lines[f"{side} lining side"] = run(name, *(step.edge for step in making.lines[f"{side} side"]))
    making.lines[f"{side} lining lower"] = run(name, *(step.edge for step in waist)) or run(name, "hem")


def _waist_of(making: Making, side: str) -> Run:
    """The shell's waist as far as the lining has it; empty where the lining hangs free."""
    have = {stroke.name for stroke in making.sketches[_name(making, side)].strokes}
    return tuple(step for step in making.lines.get(f"{side} waist", ()) if step.edge in have)


def _as_seam(making: Making, facing: Run) -> None:
    """A facing's free edge becomes a seam to the lining."""
    for step in facing:
        sketch = making.sketches[step.piece]
        path = sketch.path(step.edge)
        sketch.put(step.edge, Stroke(step.edge, path, EdgeKind.SEAM, _curved(making)))


def _make_up(making: Making) -> None:
    """Shoulders and sides of the lining, and all round its armholes."""
    lines = making.lines
    front, back = _name(making, "front"), _name(making, "back")
    shoulders = run(back, "shoulder"), run(front, "shoulder")
    ease = making.run_length(shoulders[0]) - making.run_length(shoulders[1])
    ease = ease if abs(ease) > _SAME else 0.0
    method = Method.EASED if ease else Method.PLAIN
    making.sew(Phase.LINING, "shoulder of the lining", *shoulders, method, ease=ease)
    making.sew(Phase.LINING, "side of the lining", lines["front lining side"], lines["back lining side"])
    around = round_armhole(run(front, "armhole"), run(back, "armhole"))
    if "sleeve lining cap" in lines:
        sew_cap(making, Phase.LINING, "armhole of the lining", lines["sleeve lining cap"], around)
    else:
        shell = round_armhole(lines["front armhole"], lines["back armhole"])
        making.sew(Phase.LINING, "lining at the armhole", shell, around, Method.LINED)
    corners = (
        Corner(_name(making, side), *(lines[f"{side} lining {of}"][-1].edge for of in ("lower", "side")))
        for side in ("front", "back")
    )
    making.smooth("lower edge of the lining at the side", *corners)
