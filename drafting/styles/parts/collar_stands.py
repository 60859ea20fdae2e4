"""The stands of a collar that is cut apart below its roll line: one for each of its layers."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.collars.leaf import Ends, along_neck
from drafting.details.collars.stand_cut import StandAndFall
from drafting.making import Corner, Making, Phase, run
from drafting.pattern import EdgeKind, Method
from drafting.styles.parts.collar_layers import COLLAR, UNDER

_SEAM, _NECK, _BACK = "stand seam", "collar neck", "collar back"


def stand_name(layer: str) -> str:
    """The stand of the collar or of the under-collar."""
    return f"{layer} stand"


def add_stands(making: Making, parts: StandAndFall, ends: Ends) -> None:
    """Add both stands and sew each to its fall; the falls are there, their neck edge without the seam."""
    for layer in (COLLAR, UNDER):
        _open_seam(making, layer, parts)
        making.add(_stand(making, layer, parts, ends))
        _sew(making, layer, ends)
    if not ends.back_fold:
        upper, under = (run(stand_name(layer), _BACK) for layer in (COLLAR, UNDER))
        making.sew(Phase.FACINGS, "collar back of the stand", upper, under, Method.ENCLOSED)


def _open_seam(making: Making, layer: str, parts: StandAndFall) -> None:
    """Let a fall begin at its seam, before what it keeps of the neck edge."""
    sketch = making.sketches[layer]
    neck = sketch.stroke(_NECK)
    seam = Stroke(_SEAM, parts.seam, EdgeKind.SEAM, neck.allowance)
    sketch.put(_NECK, seam, neck)
    making.renamed(run(layer, _NECK)[0], run(layer, _SEAM, _NECK))


def _stand(making: Making, layer: str, parts: StandAndFall, ends: Ends) -> Sketch:
    """Cut lengthwise of the cloth, which gives least along it; the under-collar's is interfaced."""
    allowance, shape = making.house["enclosed_allowance"], parts.stand
    cuts = (ends.cut("shell"), ends.cut("interfacing")) if layer == UNDER else (ends.cut("shell"),)
    return Sketch(
        stand_name(layer),
        [
            Stroke(_NECK, shape.neck, EdgeKind.SEAM, allowance),
            Stroke(_SEAM, shape.edge, EdgeKind.SEAM, allowance),
            ends.stroke(_BACK, shape.back, allowance),
        ],
        cuts,
        along_neck(shape),
    )


def _sew(making: Making, layer: str, ends: Ends) -> None:
    """Fall to stand; the neck edge runs on over the seam, and all lines leave the centre back squarely."""
    stand = stand_name(layer)
    making.sew(Phase.FACINGS, f"{layer} to its stand", run(layer, _SEAM), run(stand, _SEAM))
    making.smooth(
        f"neck edge of the {layer} over its stand",
        Corner(stand, _NECK, _SEAM),
        Corner(layer, _NECK, _SEAM),
    )
    if ends.back_fold:
        for edge in (_NECK, _SEAM):
            making.square(f"{edge} of the {stand} at the centre back", Corner(stand, edge, _BACK))
