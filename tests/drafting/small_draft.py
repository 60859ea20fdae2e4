"""A small draft that passes all ten checks, with one of everything: what each check's test then breaks.

Straight lines throughout, so that every length can be followed by hand. It is no garment to wear.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from drafting.body import Body
from drafting.finishing import finish
from drafting.geometry import Path, Point
from drafting.pattern import (
    Chord,
    Continuation,
    Corner,
    CornerRef,
    Cut,
    Dart,
    Draft,
    Edge,
    EdgeKind,
    EdgeRef,
    Level,
    Mark,
    MarkKind,
    Method,
    Notch,
    Piece,
    PleatRun,
    RollLine,
    Seam,
)

NECK = hypot(60, 10)  # length of the back neckline
ARMHOLE = hypot(50, 200)  # length of each armhole
CAP_EASE = 20.0
HALF_CAP = ARMHOLE + CAP_EASE / 2
WAIST = 220 + hypot(40, 5) + hypot(140, 17.5)  # front and back, dart closed


def straight(
    name: str,
    start: tuple[float, float],
    end: tuple[float, float],
    kind: EdgeKind = EdgeKind.SEAM,
    allowance: float = 15,
) -> Edge:
    """A straight edge."""
    return Edge(
        name,
        kind,
        Path.line(Point(*start), Point(*end)),
        0.0 if kind in (EdgeKind.FOLD, EdgeKind.DART) else allowance,
    )


def ring(points: list[tuple[float, float]], names: list[str], **kinds: EdgeKind) -> tuple[Edge, ...]:
    """Straight edges around ``points``; ``kinds`` gives those that are no seams, by name with underscores."""
    following = [*points[1:], points[0]]
    return tuple(
        straight(name, a, b, kinds.get(name.replace(" ", "_"), EdgeKind.SEAM))
        for name, a, b in zip(names, points, following, strict=True)
    )


def front(lapel_x: float = -20) -> Piece:
    neck_top = 402.5 + NECK
    points = [
        (-20, 0), (200, 0), (200, 182.5), (150, 382.5), (60, 402.5), (60, neck_top), (0, neck_top),
        (lapel_x, 402.5), (-20, 100),
    ]  # fmt: skip
    names = [
        "waist", "side", "armhole", "shoulder", "collar neck", "collar centre back", "collar outer",
        "lapel", "front edge",
    ]  # fmt: skip
    finished = {"collar_outer": EdgeKind.HEM, "lapel": EdgeKind.HEM, "front_edge": EdgeKind.HEM}
    return Piece(
        "front",
        ring(points, names, **finished),
        (Cut("shell", 2, mirrored=True),),
        (Point(50, 20), Point(50, 320)),
        notches=(Notch("armhole", 60),),
        marks=(Mark("roll line", MarkKind.ROLL_LINE, Path.line(Point(-20, 100), Point(60, 402.5))),),
    )


def back() -> Piece:
    points = [(0, 5), (40, 0), (50, 80), (60, 0), (200, 17.5), (200, 200), (150, 400), (60, 420), (0, 410)]
    names = [
        "waist", "dart to side", "dart to centre", "side waist", "side", "armhole", "shoulder", "neckline",
        "centre back",
    ]  # fmt: skip
    kinds = {"dart_to_side": EdgeKind.DART, "dart_to_centre": EdgeKind.DART, "centre_back": EdgeKind.FOLD}
    return Piece(
        "back",
        ring(points, names, **kinds),
        (Cut("shell", 1, on_fold=True),),
        (Point(30, 100), Point(30, 350)),
        notches=(Notch("armhole", 60),),
    )


def sleeve(hem: Path | None = None) -> Piece:
    top = 300 + (HALF_CAP**2 - 150**2) ** 0.5
    cap = Path.polyline([Point(300, 300), Point(150, top), Point(0, 300)])
    wrist = Path.line(Point(0, 0), Point(300, 0))
    edges = (
        Edge("hem", EdgeKind.HEM, hem or wrist, 40.0, Corner.TURNED),
        straight("front seam", (300, 0), (300, 300)),
        Edge("cap", EdgeKind.SEAM, cap, 15.0),
        replace(straight("back seam", (0, 300), (0, 0)), end_corner=Corner.TURNED),
    )
    notches = (Notch("cap", 60), Notch("cap", 2 * HALF_CAP - 60, 2))
    return Piece(
        "sleeve", edges, (Cut("shell", 2, mirrored=True),), (Point(150, 50), Point(150, 350)), notches
    )


def skirt() -> Piece:
    width = WAIST + 200
    points = [(0.0, 0.0), (width, 0.0), (width, 500.0), (0.0, 500.0)]
    return Piece(
        "skirt",
        ring(points, ["hem", "side", "waist", "centre"], hem=EdgeKind.HEM),
        (Cut("shell", 2, mirrored=True),),
        (Point(100, 50), Point(100, 450)),
    )


def facing() -> Piece:
    points = [(60.0, 420.0), (0.0, 410.0), (0.0, 350.0), (60.0, 350.0)]
    return Piece(
        "back neck facing",
        ring(
            points,
            ["neckline", "centre back", "outer", "shoulder"],
            centre_back=EdgeKind.FOLD,
            outer=EdgeKind.HEM,
            shoulder=EdgeKind.HEM,
        ),
        (Cut("shell", 1, on_fold=True), Cut("interfacing", 1, on_fold=True)),
        (Point(30, 360), Point(30, 400)),
    )


def refs(*names: tuple[str, str] | tuple[str, str, bool]) -> tuple[EdgeRef, ...]:
    return tuple(EdgeRef(*name) for name in names)


SEAMS = (
    Seam(
        "dart", refs(("back", "dart to side")), refs(("back", "dart to centre", True)),
        method=Method.DART, times=2,
    ),
    Seam("shoulder", refs(("front", "shoulder")), refs(("back", "shoulder")), times=2),
    Seam("side", refs(("front", "side")), refs(("back", "side")), times=2),
    Seam("skirt side", refs(("skirt", "side")), refs(("skirt", "side"))),
    Seam("skirt centre", refs(("skirt", "centre")), refs(("skirt", "centre"))),
    Seam("collar centre back", refs(("front", "collar centre back")), refs(("front", "collar centre back"))),
    Seam("collar", refs(("front", "collar neck")), refs(("back", "neckline")), times=2),
    Seam(
        "neck facing", refs(("back", "neckline")), refs(("back neck facing", "neckline")), method=Method.FACED
    ),
    Seam("sleeve", refs(("sleeve", "front seam")), refs(("sleeve", "back seam", True)), times=2),
    Seam(
        "armhole", refs(("sleeve", "cap")), refs(("front", "armhole"), ("back", "armhole", True)),
        ease=CAP_EASE, method=Method.EASED, times=2,
    ),
    Seam(
        "waist", refs(("skirt", "waist")),
        refs(("front", "waist"), ("back", "waist"), ("back", "side waist")),
        ease=200.0, method=Method.PLEATED, times=2,
    ),
)  # fmt: skip


def small_body() -> Body:
    return Body.of({"bust_girth": 760, "waist_girth": 620, "hip_girth": 800, "stature": 1500})


def small_draft(**pieces: Piece) -> Draft:
    """The draft, finished; a keyword such as ``sleeve=`` puts another piece in its place, or adds one."""
    drawn = {
        "front": front(),
        "back": back(),
        "sleeve": sleeve(),
        "skirt": skirt(),
        "facing": facing(),
        **pieces,
    }
    chords = tuple(Chord(name, Point(0, 150), Point(200, 150), 2) for name in ("front", "back"))
    width = WAIST + 200
    return finish(
        Draft(
            style="small",
            choices={"closure": "buttons", "pleats": 2, "length": 500.0, "lined": False},
            body=small_body(),
            house={"seam_allowance": 15.0},
            engine="1",
            pieces=tuple(drawn.values()),
            seams=SEAMS,
            continuations=(
                Continuation(
                    "sleeve hem across its seam",
                    (CornerRef("sleeve", "back seam", "hem"), CornerRef("sleeve", "hem", "front seam")),
                ),
            ),
            levels=(Level("bust", 760, 40, chords),),
            pleats=(PleatRun("skirt", "waist", "knife", width, WAIST, (100.0, 100.0), 120.0, 0.0, 10.0),),
            darts=(
                Dart(
                    "back",
                    "waist dart",
                    Point(40, 0),
                    Point(50, 80),
                    Point(60, 0),
                    ("dart to side", "dart to centre"),
                ),
            ),
            roll_lines=(RollLine("front", Point(-20, 100), Point(60, 402.5), ("lapel", "collar outer")),),
        )
    )
