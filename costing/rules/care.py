"""Care of a cloth: what may be done to it, in the five processes and their order.

Source: ISO 3758:2012, order of the symbols (washing, bleaching, drying, ironing, professional care) and its
treatments, from memory of the standard; rarer ones are left out. The drawings are our own simple ones.
What must stand on a label that is sold is local law: check your local rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

NO = "no"


@dataclass(frozen=True, slots=True)
class Process:
    """One of the five: its field in the price list, its title, and its treatments, code -> words."""

    field: str
    title: str
    treatments: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class CareMark:
    """One treatment of a cloth: ``words`` say all that ``svg`` shows."""

    title: str
    words: str
    svg: str


def _washing() -> dict[str, str]:
    words = {}
    for degrees in (95, 70, 60, 50, 40, 30):
        words[str(degrees)] = f"wash at up to {degrees} °C"
        if degrees <= 60:
            words[f"{degrees}-mild"] = f"wash at up to {degrees} °C, mild"
    words |= {
        "40-very-mild": "wash at up to 40 °C, very mild",
        "30-very-mild": "wash at up to 30 °C, very mild",
    }
    return {**words, "hand": "wash by hand at up to 40 °C", NO: "do not wash"}


PROCESSES = (
    Process("care_wash", "Washing", _washing()),
    Process(
        "care_bleach",
        "Bleaching",
        {"any": "any bleach", "oxygen": "oxygen bleach only, no chlorine", NO: "do not bleach"},
    ),
    Process(
        "care_dry",
        "Drying",
        {
            "tumble": "tumble dry, normal heat (80 °C)",
            "tumble-low": "tumble dry, low heat (60 °C)",
            "line": "dry on a line",
            "line-shade": "dry on a line in the shade",
            "drip": "drip dry on a line",
            "flat": "dry lying flat",
            "flat-shade": "dry lying flat in the shade",
            NO: "do not tumble dry",
        },
    ),
    Process(
        "care_iron",
        "Ironing",
        {
            "200": "iron at up to 200 °C",
            "150": "iron at up to 150 °C",
            "110": "iron at up to 110 °C, without steam",
            NO: "do not iron",
        },
    ),
    Process(
        "care_professional",
        "Professional care",
        {
            "p": "dry clean (P)",
            "p-mild": "dry clean (P), mild",
            "f": "dry clean (F)",
            "f-mild": "dry clean (F), mild",
            "w": "wet clean (W)",
            "w-mild": "wet clean (W), mild",
            NO: "do not dry clean",
        },
    ),
)
"""In the order in which they stand on a label."""

CARE_FIELDS = tuple(process.field for process in PROCESSES)


def care_marks(values: Mapping[str, str]) -> tuple[CareMark, ...]:
    """Return the marks of a cloth in the order of a label; what nobody has said is left out.

    Args:
        values: field -> code; empty where it is not known.

    Raises: KeyError for a code that its process does not have.
    """
    return tuple(_marks(values))


def _marks(values: Mapping[str, str]) -> Iterator[CareMark]:
    for process in PROCESSES:
        code = values.get(process.field, "")
        if code:
            words = process.treatments[code]
            yield CareMark(process.title, words, _svg(words, _DRAWN[process.field](code)))


def _svg(words: str, body: str) -> str:
    return (
        f'<svg class="care" viewBox="0 0 32 32" role="img" aria-label="{words}" fill="none" '
        f'stroke="currentColor" stroke-width="1.8" stroke-linejoin="round">'
        f"<title>{words}</title>{body}</svg>"
    )


_CROSS = '<path d="M4 5L28 27M28 5L4 27"/>'


def _bars(code: str) -> str:
    """Under a symbol: one for mild, two for very mild."""
    count = 2 if code.endswith("very-mild") else 1 if code.endswith("mild") else 0
    return "".join(f'<path d="M8 {28 + 2.6 * n:.1f}h16"/>' for n in range(count))


def _letters(text: str, y: float, size: float = 9.0) -> str:
    return (
        f'<text x="16" y="{y:g}" font-size="{size:g}" text-anchor="middle" fill="currentColor" '
        f'stroke="none" font-family="sans-serif">{text}</text>'
    )


def _dots(count: int, y: float) -> str:
    start = 16 - 2.4 * (count - 1)
    return "".join(
        f'<circle cx="{start + 4.8 * n:g}" cy="{y:g}" r="1.4" fill="currentColor" stroke="none"/>'
        for n in range(count)
    )


def _tub(code: str) -> str:
    """A tub with its water; the degrees in it, or a hand over its edge."""
    tub = '<path d="M3 9l3 16h20l3-16M3 12q3.2-3 6.5 0t6.5 0 6.5 0 6.5 0"/>'
    if code == NO:
        return tub + _CROSS
    if code == "hand":
        return tub + '<path d="M13 4l2 9h5l4-5M15 13v6h5v-6"/>'
    return tub + _letters(code.partition("-")[0], 22.5) + _bars(code)


def _triangle(code: str) -> str:
    triangle = '<path d="M16 4L29 27H3z"/>'
    inner = {"any": "", "oxygen": '<path d="M12 27L20.5 12M18 27L23.5 17.5"/>', NO: _CROSS}
    return triangle + inner[code]


def _square(code: str) -> str:
    """A square: with a drum inside for a machine, with lines for air."""
    square = '<path d="M4 4h24v24H4z"/>'
    drum = '<circle cx="16" cy="16" r="10"/>'
    if code.startswith("tumble") or code == NO:
        return square + drum + {"tumble": _dots(2, 16), "tumble-low": _dots(1, 16), NO: _CROSS}[code]
    lines = {
        "line": '<path d="M16 8v16"/>',
        "drip": '<path d="M13 8v16M19 8v16"/>',
        "flat": '<path d="M9 16h14"/>',
    }
    way, _, shade = code.partition("-")
    return square + lines[way] + ('<path d="M4 13L13 4"/>' if shade else "")


def _iron(code: str) -> str:
    iron = '<path d="M4 25q1-11 12-11h9l2.5 11zM14 14V9h10l1 5"/>'
    dots = {"200": 3, "150": 2, "110": 1}
    return iron + (_CROSS if code == NO else _dots(dots[code], 20.5))


def _circle(code: str) -> str:
    circle = '<circle cx="16" cy="15" r="11"/>'
    return circle + (_CROSS if code == NO else _letters(code[0].upper(), 19.4, 12.0) + _bars(code))


_DRAWN = {
    "care_wash": _tub,
    "care_bleach": _triangle,
    "care_dry": _square,
    "care_iron": _iron,
    "care_professional": _circle,
}
