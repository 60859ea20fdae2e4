"""How the pieces of the notched-collar dress are sewn together, in order, and what must run on smoothly."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from drafting.blocks.sketch import Sketch
from drafting.pattern import Continuation, EdgeRef, Method, Seam
from drafting.styles.dress_bodice import COLLAR_EDGES, side_names, waist_names
from drafting.styles.dress_plan import DressPlan

Sketches = dict[str, Sketch]
_SAME = 0.05  # mm


def _length(pieces: Sketches, refs: Iterable[EdgeRef]) -> float:
    total = 0.0
    for ref in refs:
        strokes = pieces[ref.piece].strokes
        total += next(stroke.path.length for stroke in strokes if stroke.name == ref.edge)
    return total


def _seam(  # noqa: PLR0917  # both sides, then how
    pieces: Sketches,
    name: str,
    a: tuple[str, ...],
    b: tuple[str, ...],
    method: Method,
    times: int = 2,  # both sides, then how
) -> Seam:
    """A seam between edges given as ("piece", edge, edge, ...), each in its own direction."""
    return Seam(name, pieces[a[0]].refs(*a[1:]), pieces[b[0]].refs(*b[1:]), 0.0, method, times)


def _eased(pieces: Sketches, name: str, a: tuple[str, ...], b: tuple[str, ...]) -> Seam:
    """The longer side ``a`` is eased on to ``b``; plain where both are as long."""
    plain = _seam(pieces, name, a, b, Method.PLAIN)
    ease = _length(pieces, plain.a) - _length(pieces, plain.b)
    if abs(ease) < _SAME:
        return plain
    return Seam(plain.name, plain.a, plain.b, ease, Method.EASED, plain.times)


def seams(plan: DressPlan, pieces: Sketches) -> tuple[Seam, ...]:
    """Every seam, in the order in which it is sewn."""
    lined = plan.lining != "none"
    found = [*_dart_seams(pieces), *_bodice_seams(plan, pieces), *_collar_seams(plan, pieces)]
    found += _lining_bodice_seams(pieces) if lined else _armhole_facing_seams(pieces)
    found += _skirt_seams(plan, pieces)
    found += _waist_seams(plan, pieces)
    if lined:
        found += _lining_waist_seams(plan, pieces)
    if plan.zip_closure:
        found += _zip_seams(plan, pieces)
    return tuple(found)


def _dart_seams(pieces: Sketches) -> list[Seam]:
    return [
        _seam(
            pieces, f"{sketch.name} {dart.name}", (sketch.name, legs[0]), (sketch.name, legs[1]), Method.DART
        )
        for sketch in pieces.values()
        for dart in sketch.darts
        if (legs := dart.leg_edges) is not None
    ]


def _sides(pieces: Sketches, name: str, front: str, back: str) -> Seam:
    a, b = pieces[front], pieces[back]
    return _seam(pieces, name, (front, *side_names(a)), (back, *side_names(b)), Method.PLAIN)


def _bodice_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    return [
        _eased(pieces, "shoulder", ("back bodice", "shoulder"), ("front bodice", "shoulder")),
        _sides(pieces, "side of the bodice", "front bodice", "back bodice"),
    ]


def _collar_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    """Collar to back neck, facing to facing, then round collar, lapel and front."""
    shell, facing = "front bodice", "front facing"
    found = [
        _seam(pieces, "collar to back neck", (shell, "collar neck"), ("back bodice", "neck"), Method.PLAIN),
        _seam(
            pieces,
            "shoulder of the facings",
            (facing, "facing shoulder"),
            ("back neck facing", "facing shoulder"),
            Method.PLAIN,
        ),
        _seam(
            pieces,
            "facing's collar to back neck facing",
            (facing, "collar neck"),
            ("back neck facing", "neck"),
            Method.PLAIN,
        ),
    ]
    if plan.zip_closure:
        found.append(
            _seam(
                pieces, "end of the collar", (shell, "collar back"), (facing, "collar back"), Method.ENCLOSED
            )
        )
    else:
        found[0:0] = [
            _seam(
                pieces, "centre back of the collar", (p, "collar back"), (p, "collar back"), Method.PLAIN, 1
            )
            for p in (shell, facing)
        ]
        found = [
            s if s.name != "centre back of the collar" or s.a[0].piece == shell else _renamed(s)
            for s in found
        ]
    found += [
        _seam(pieces, edge, (shell, edge), (facing, edge), Method.ENCLOSED) for edge in COLLAR_EDGES[:-1]
    ]
    found.append(_seam(pieces, "front edge", (shell, "front edge"), (facing, "front edge"), Method.FACED))
    return found


def _renamed(seam: Seam) -> Seam:
    return Seam("centre back of the facing's collar", seam.a, seam.b, seam.ease, seam.method, seam.times)


def _armhole_facing_seams(pieces: Sketches) -> list[Seam]:
    front, back = "front armhole facing", "back armhole facing"
    return [
        _seam(
            pieces,
            "shoulder of the armhole facing",
            (front, "facing shoulder"),
            (back, "facing shoulder"),
            Method.PLAIN,
        ),
        _seam(
            pieces, "side of the armhole facing", (front, "facing side"), (back, "facing side"), Method.PLAIN
        ),
        _armhole_seam(pieces, front, back, Method.FACED),
    ]


def _armhole_seam(pieces: Sketches, front: str, back: str, method: Method) -> Seam:
    """Up the front armhole and down the back."""

    def round_it(a: str, b: str) -> tuple[EdgeRef, ...]:
        return (pieces[a].ref("armhole", backward=True), pieces[b].ref("armhole"))

    return Seam("armhole", round_it("front bodice", "back bodice"), round_it(front, back), 0.0, method, 2)


def _lining_bodice_seams(pieces: Sketches) -> list[Seam]:
    front, back = "front bodice lining", "back bodice lining"
    return [
        _eased(pieces, "shoulder of the lining", (back, "shoulder rest"), (front, "shoulder rest")),
        _sides(pieces, "side of the bodice lining", front, back),
        _seam(
            pieces,
            "lining to front facing",
            (front, "facing join"),
            ("front facing", "facing inner"),
            Method.LINED,
        ),
        _seam(
            pieces,
            "lining to back neck facing",
            (back, "facing join"),
            ("back neck facing", "facing inner"),
            Method.LINED,
        ),
        _armhole_seam(pieces, front, back, Method.LINED),
    ]


def _skirt_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    found = [_sides(pieces, "side of the skirt", "skirt front", "skirt back")]
    if plan.zip_closure:
        back = ("skirt back", "centre back")
        found.append(_seam(pieces, "centre back of the skirt", back, back, Method.PLAIN, 1))
    else:
        front, facing = "skirt front", "skirt front facing"
        stand = ("waist extension", "waist centre")
        found += [
            _seam(pieces, "button stand", (front, "front edge"), (facing, "front edge"), Method.FACED),
            _seam(pieces, "button stand at the waist", (facing, *stand), (front, *stand), Method.LINED),
        ]
    return found


def _pleated(pieces: Sketches, name: str, a: tuple[str, ...], b: tuple[str, ...], times: int = 2) -> Seam:
    """The wider side ``a`` is pleated down to ``b``."""
    plain = _seam(pieces, name, a, b, Method.PLEATED, times)
    ease = _length(pieces, plain.a) - _length(pieces, plain.b)
    return Seam(plain.name, plain.a, plain.b, ease, plain.method, plain.times)


def _waist_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    front, back = pieces["front bodice"], pieces["back bodice"]
    stand = ("waist extension", "waist centre")
    caught = _seam(
        pieces, "facing at the waist", ("front facing", *stand), ("front bodice", *stand), Method.LINED
    )
    skipped = ("waist extension",) if plan.zip_closure else ()
    return [
        caught,
        _pleated(
            pieces,
            "waist, front",
            ("skirt front", *waist_names(pieces["skirt front"])),
            ("front bodice", *waist_names(front, *skipped)),
        ),
        _pleated(
            pieces,
            "waist, back",
            ("skirt back", *waist_names(pieces["skirt back"])),
            ("back bodice", *waist_names(back)),
        ),
    ]


def _lining_waist_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    """The bodice lining covers the waist seam; a skirt lining hangs from it."""
    front, back = "front bodice lining", "back bodice lining"
    shell = waist_names(pieces["front bodice"], "waist extension", "waist centre")
    found = [
        _seam(
            pieces,
            "lining at the waist, front",
            (front, *waist_names(pieces[front])),
            ("front bodice", *shell),
            Method.LINED,
        ),
        _seam(
            pieces,
            "lining at the waist, back",
            (back, *waist_names(pieces[back])),
            ("back bodice", *waist_names(pieces["back bodice"])),
            Method.LINED,
        ),
    ]
    return found + (_skirt_lining_seams(plan, pieces) if plan.skirt_lined else [])


def _skirt_lining_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    front, back = "skirt front lining", "skirt back lining"
    found = [_sides(pieces, "side of the skirt lining", front, back)]
    if plan.zip_closure:
        seam = (back, "centre back")
        found.append(_seam(pieces, "centre back of the skirt lining", seam, seam, Method.PLAIN, 1))
    else:
        join = _seam(
            pieces,
            "skirt lining to button stand",
            (front, "facing join"),
            ("skirt front facing", "facing inner"),
            Method.LINED,
        )
        ease = _length(pieces, join.a) - _length(pieces, join.b)  # the lining ends above the hem
        found.append(Seam(join.name, join.a, join.b, ease, join.method, join.times))
    left_out = () if plan.zip_closure else ("waist extension", "waist centre")
    names = waist_names(pieces["skirt front"], *left_out)
    pleated = [
        (front, ("skirt front", *names), "skirt lining at the waist, front"),
        (back, ("skirt back", *waist_names(pieces["skirt back"])), "skirt lining at the waist, back"),
    ]
    for piece, shell, name in pleated:
        hung = _seam(pieces, name, (piece, "waist"), shell, Method.PLEATED)
        ease = _length(pieces, hung.a) - _length(pieces, hung.b)
        found.append(Seam(name, hung.a, hung.b, ease, hung.method, hung.times))
    return found


def _zip_seams(plan: DressPlan, pieces: Sketches) -> list[Seam]:
    """The zip runs from the nape into the skirt: its two sides are the same edges, left and right."""
    side = (*pieces["back bodice"].refs("centre back"), *pieces["skirt back"].refs("zip opening"))
    neck = pieces["back neck facing"].refs("centre back")
    found = [
        Seam("centre back", side, side, 0.0, Method.ZIP, 1),
        Seam("back neck facing to the zip", neck, neck, 0.0, Method.LINED, 1),
    ]
    if plan.lining != "none":
        lining = pieces["back bodice lining"].refs("centre back")
        found.append(Seam("bodice lining to the zip", lining, lining, 0.0, Method.LINED, 1))
    if plan.skirt_lined:
        skirt = pieces["skirt back lining"].refs("zip opening")
        found.append(Seam("skirt lining to the zip", skirt, skirt, 0.0, Method.LINED, 1))
    return found


def continuations(plan: DressPlan, pieces: Sketches) -> tuple[Continuation, ...]:
    """Where a line must run on across a seam, a dart or the centre."""
    front, back = pieces["front bodice"], pieces["back bodice"]
    skirt_f, skirt_b = pieces["skirt front"], pieces["skirt back"]
    found = [
        _across("armhole at the shoulder", (front, "armhole", "shoulder"), (back, "armhole", "shoulder")),
        _across(
            "armhole at the side",
            (front, "armhole", side_names(front)[0]),
            (back, "armhole", side_names(back)[0]),
        ),
        _across(
            "waist at the side",
            (front, waist_names(front)[-1], side_names(front)[-1]),
            (back, waist_names(back)[-1], side_names(back)[-1]),
        ),
        _across("waist of the skirt at the side", (skirt_f, "waist", "side"), (skirt_b, "waist", "side")),
        _across("hem at the side", (skirt_f, "hem", "side"), (skirt_b, "hem", "side")),
        _square("back neck at the centre back", (back, "neck", "centre back")),
        _square("waist at the centre back", (back, waist_names(back)[0], "centre back")),
        _square("collar's outer edge at the centre back", (front, "collar edge", "collar back")),
        _square("collar's neck edge at the centre back", (front, "collar neck", "collar back")),
        _square("hem at the centre back", (skirt_b, "hem", "centre back")),
        _square("hem at the front", (skirt_f, "hem", "centre front" if plan.zip_closure else "front edge")),
        *_facing_continuations(plan, pieces),
    ]
    for sketch in (front, back):
        found += _dart_continuations(sketch)
    return tuple(found)


def _across(name: str, one: tuple[Sketch, str, str], other: tuple[Sketch, str, str]) -> Continuation:
    return Continuation(name, (one[0].corner(*one[1:]), other[0].corner(*other[1:])))


def _square(name: str, corner: tuple[Sketch, str, str]) -> Continuation:
    return Continuation(name, (corner[0].corner(*corner[1:]),), 90.0)


def _facing_continuations(plan: DressPlan, pieces: Sketches) -> list[Continuation]:
    found = [
        _across(
            "free edge of the neck facings at the shoulder",
            (pieces["front facing"], "facing inner", "facing shoulder"),
            (pieces["back neck facing"], "facing inner", "facing shoulder"),
        )
    ]
    if plan.lining == "none":
        front, back = pieces["front armhole facing"], pieces["back armhole facing"]
        for at in ("facing shoulder", "facing side"):
            found.append(
                _across(f"armhole facing, {at}", (front, "facing inner", at), (back, "facing inner", at))
            )
    return found


def _dart_continuations(sketch: Sketch) -> list[Continuation]:
    """The outline on both sides of each dart, once the dart is closed."""
    found = []
    names = [stroke.name for stroke in sketch.strokes]
    for before, (leg, other), after in zip(names, pairwise(names[1:]), names[3:], strict=False):
        if any(dart.leg_edges and {leg, other} == set(dart.leg_edges) for dart in sketch.darts):
            corners = (sketch.corner(before, leg), sketch.corner(other, after))
            found.append(Continuation(f"{sketch.name} across {leg.rsplit(' ', 1)[0]}", corners))
    return found
