"""The finished garment as a picture: front and back side by side."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from drafting.output.figure.ink import FIGURE_STYLE
from drafting.output.figure.views import View, views
from drafting.output.shapes import Shape, Words, number, svg_words
from drafting.pattern import Draft

_GAP = 130.0
_MARGIN = 24.0
_NAMED = 112.0  # mm below the garment for the names of its sides
_HIGH = 110.0  # mm on paper


@dataclass(frozen=True, slots=True)
class Captions:
    """The words of the picture.

    ``title``: what it shows, empty for the style's name. ``described``: the same for those who do not see it,
    empty for the pieces and the finished measurements.
    """

    front: str = "front"
    back: str = "back"
    title: str = ""
    described: str = ""
    nothing: str = "There is no drawing of this garment."


ENGLISH = Captions()


def garment_svg(draft: Draft, captions: Captions = ENGLISH) -> str:
    """Return the finished garment, front and back side by side, as an SVG picture 110 mm high.

    A draft of which no upper and no lower garment is known has no such drawing: the picture says so in words.
    """
    found = views(draft)
    if found is None:
        words = Words(250.0, 60.0, 24.0, captions.nothing)
        return _picture(draft, captions, "", (words,), (0.0, 0.0, 500.0, 120.0))
    front, back = found
    half = max(front.half, back.half) + _MARGIN
    shift = 2 * half + _GAP
    top = max(front.top, back.top) + _MARGIN
    foot = -min(front.bottom, back.bottom) + _NAMED
    size = max((2 * half + shift) * 0.025, 16.0)
    said = ((0.0, captions.front), (shift, captions.back))
    names = tuple(Words(x, foot - 24.0, size, name) for x, name in said)
    shapes = _group(front, 0.0) + _group(back, shift)
    return _picture(draft, captions, shapes, names, (-half, -top, 2 * half + shift, top + foot))


def _group(view: View, dx: float) -> str:
    move = f' transform="translate({number(dx)} 0)"' if dx else ""
    return f"<g{move}>{''.join(map(_element, view.shapes))}</g>"


def _element(shape: Shape) -> str:
    return f'<path class="{shape.style}" d="{shape.data}"/>'


def _picture(
    draft: Draft,
    captions: Captions,
    shapes: str,
    words: tuple[Words, ...],
    box: tuple[float, float, float, float],
) -> str:
    x, y, width, height = box
    name = escape(captions.title or draft.style.replace("-", " "), quote=True)
    described = escape(captions.described or _described(draft))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="garment" role="img" aria-label="{name}"'
        f' width="{number(_HIGH * width / height)}mm" height="{number(_HIGH)}mm"'
        f' viewBox="{number(x)} {number(y)} {number(width)} {number(height)}">'
        f"<title>{name}</title><desc>{described}</desc><style>{FIGURE_STYLE}</style>"
        f"{shapes}{''.join(map(svg_words, words))}</svg>"
    )


def _described(draft: Draft) -> str:
    """What the picture shows, for those who do not see it: the pieces of the shell and the measurements."""
    shell = [piece.name for piece in draft.pieces if any(cut.cloth == "shell" for cut in piece.cuts)]
    sizes = [f"{finished.name} {finished.garment:.0f} mm" for finished in draft.finished]
    return f"Front and back of the finished garment, made of {', '.join(shell)}. {', '.join(sizes)}."
