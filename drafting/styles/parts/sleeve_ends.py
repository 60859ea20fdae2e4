"""What ends a sleeve: a hem, elastic in it, a band, or a cuff that buttons over a slit."""

from __future__ import annotations

from drafting.details.sleeves import CuffSize, band_piece, cuff_piece, slit_strip
from drafting.making import Making, Phase, Run, run
from drafting.pattern import Method, NotionNeed
from drafting.styles.parts.sleeve_plan import ELASTIC, SleevePlan, elastic_length

_UNEASED = 1.0  # mm: an end with less to gather is sewn plain
_STRIP = 0.6  # of the width of bindings: the strip of a slit, as it shows


def end_sleeve(making: Making, plan: SleevePlan, closed: Phase) -> None:
    """Draw cuff or band and sew it on in the phase in which the sleeve is ``closed``, or buy its elastic."""
    if plan.cuff is None:
        _hem(making, plan)
    elif plan.slit:
        _buttoned(making, plan, plan.cuff, closed)
    else:
        _banded(making, plan.cuff, closed)


def _hem(making: Making, plan: SleevePlan) -> None:
    if plan.end == ELASTIC:
        elastic = NotionNeed(
            "elastic", 2, elastic_length(plan), "for the sleeve hems, narrower than they are"
        )
        making.notions.append(elastic)
        making.note(Phase.HEM, "Stitch the sleeve hems down as casings, draw the elastic in and join it.")


def _gathered(making: Making, piece: str, line: Run, phase: Phase) -> None:
    """Sew the sleeve's end to a cuff or band, its inner edge down inside."""
    seam = run(piece, "seam")
    ease = making.run_length(line) - making.run_length(seam)
    method = Method.GATHERED if ease > _UNEASED else Method.PLAIN
    making.sew(phase, f"sleeve to its {piece.rsplit(' ', 1)[-1]}", line, seam, method, ease=ease)
    _notch_middle(making, line)
    _notch_middle(making, seam)
    making.sew(phase, f"inside of the {piece}", run(piece, "inner"), seam, Method.LINED)


def _notch_middle(making: Making, line: Run) -> None:
    """A notch half-way along a line, so that what is gathered is shared evenly."""
    at = 0.5 * making.run_length(line)
    for step in line:
        sketch = making.sketches[step.piece]
        length = sketch.path(step.edge).length
        if at <= length:
            sketch.notch(step.edge, at)
            return
        at -= length


def _banded(making: Making, size: CuffSize, closed: Phase) -> None:
    band = making.add(band_piece(size.girth, size.depth, making.house)).name
    making.sew(closed, "ends of the sleeve band", run(band, "start"), run(band, "end"))
    _gathered(making, band, making.lines["sleeve hem"], closed)
    making.note(closed, "Gather the sleeve into its band; sew the band's inner edge down inside.")


def _buttoned(making: Making, plan: SleevePlan, size: CuffSize, closed: Phase) -> None:
    cuff = making.add(cuff_piece(size, making.house)).name
    strip = making.add(slit_strip(plan.slit, _STRIP * making.house["binding_width"])).name
    making.sew(Phase.SLEEVES, "strip round the slit", run(strip, "slit"), run(strip, "inner"), Method.LINED)
    for name, edges in (("lap", ("lap", "lap end")), ("end", ("end",))):
        outer, inner = run(cuff, *edges), run(cuff, *(f"{edge} inner" for edge in edges))
        making.sew(Phase.SLEEVES, f"{name} of the cuff", outer, inner, Method.ENCLOSED)
    # From the slit round through the underarm back to the slit.
    back, front = making.lines["sleeve hem"]
    _gathered(making, cuff, (front, back), closed)
    making.notions.append(NotionNeed("button", 2, size.button, "cuffs"))
    making.note(
        closed,
        "Bind the slits with their strips before the sleeve is closed; turn the strip under on the side of "
        "the buttonhole. Gather the sleeve into the cuff, its ends at the slit, and sew the inner edge down.",
    )
