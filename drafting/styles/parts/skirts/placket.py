"""A folded placket down a skirt's front: it carries on that of the bodice above it."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.plackets import FOOT, folded_back, stiffening
from drafting.geometry import Path
from drafting.making import Making, Phase, Run, back_along, run
from drafting.pattern import EdgeKind, MarkKind, Method
from drafting.styles.parts.plackets import FOLD

_FACED = "hem faced"
_STAND = ("waist extension", "waist stand")


def fold_placket(making: Making, shell: Sketch) -> None:
    """Fold the front's edge back over the stand that was drawn at its waist, half a placket wide."""
    half = making.centre("skirt front").extension
    foot = _part_hem(making, shell, 2 * half)
    extension, stand = (shell.path(name) for name in _STAND)
    top = extension.joined(stand).reversed()
    _fold(shell, top, foot, half, making.house["enclosed_allowance"])
    making.add(stiffening("skirt placket interfacing", top, foot, half))
    _sew(making, shell.name)


def _part_hem(making: Making, shell: Sketch, width: float) -> Path:
    """Part the hem where the placket ends; return what lies under it, outward from the fold."""
    hem = shell.stroke("hem")
    under, rest = hem.path.split_at(width)
    parts = [Stroke(name, path, hem.kind, hem.allowance) for name, path in (("hem", rest), (_FACED, under))]
    shell.put("hem", *parts)
    shell.turned = (*shell.turned, _FACED)
    making.renamed(run(shell.name, "hem")[0], run(shell.name, _FACED, "hem"))
    return under


def _fold(shell: Sketch, top: Path, foot: Path, half: float, enclosed: float) -> None:
    above, edge, below = folded_back(top, foot, half)
    hem, waist = shell.stroke("hem"), shell.stroke("waist stand")
    shell.put(
        "front edge",
        Stroke(FOOT, below, hem.kind, hem.allowance),
        Stroke("placket edge", edge, EdgeKind.SEAM, enclosed),
        Stroke("placket top", above, waist.kind, waist.allowance),
    )
    shell.mark(FOLD, MarkKind.GUIDE, Path.line(above.start, below.start))
    shell.mark("stitching of the placket", MarkKind.GUIDE, Path.line(top.start, foot.end))


def _sew(making: Making, name: str) -> None:
    covered: Run = back_along(run(name, *_STAND))
    making.sew(Phase.WAIST, "skirt placket at the waist", run(name, "placket top"), covered, Method.LINED)
    edge = run(name, "placket edge")
    making.sew(Phase.SKIRT, "inner edge of the skirt placket", edge, edge, Method.TOPSTITCHED)
    making.note(
        Phase.SKIRT,
        "Folded placket of the skirt: fuse its interfacing between fold and stitching line, press the free "
        "edge under, fold the placket back and topstitch it down, in one line with that of the bodice; its "
        "upper end goes into the waist seam. Work the buttonholes along its middle.",
    )
