"""A garment in the making: what is said by name is resolved when the draft is made."""

from __future__ import annotations

import pytest

from drafting.blocks.centre import Centre
from drafting.blocks.sketch import Sketch, Stroke
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.geometry import Path, Point
from drafting.house import house_rules
from drafting.making import Making, Phase, Step, Width, back_along, run
from drafting.pattern import Cut, Dart, EdgeKind, EdgeRef, Method
from drafting.styles.choices import Choice, Clash, Style, read_all
from drafting.styles.parts.part import composed
from drafting.units import Unit

HOUSE = house_rules()
BODY = Body.of({"stature": 1650, "bust_girth": 920, "waist_girth": 740, "hip_girth": 980})


def making(**choices: str | float) -> Making:
    return Making(BODY, HOUSE, choices)


def square(name: str, *, is_front: bool = False) -> Sketch:
    """100 mm square, its waist running outward at the bottom, its side drawn downward."""
    a, b, c, d = (Point(*at) for at in ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    return Sketch(
        name,
        [
            Stroke("waist", Path.line(a, b)),
            Stroke("side", Path.line(c, b)),
            Stroke("top", Path.line(d, c)),
            Stroke("centre", Path.line(a, d), EdgeKind.FOLD),
        ],
        (Cut("shell", 1, on_fold=True),),
        (Point(20.0, 20.0), Point(20.0, 80.0)),
        is_front=is_front,
    )


def darted(name: str) -> Sketch:
    """The square with a dart 20 mm wide in its waist."""
    sketch = square(name)
    left, apex, right = Point(40.0, 0.0), Point(50.0, 60.0), Point(60.0, 0.0)
    sketch.put(
        "waist",
        Stroke("waist centre", Path.line(Point(0.0, 0.0), left)),
        Stroke("inner", Path.line(left, apex), EdgeKind.DART),
        Stroke("outer", Path.line(right, apex), EdgeKind.DART),
        Stroke("waist side", Path.line(right, Point(100.0, 0.0))),
    )
    sketch.darts.append(Dart("", "dart", left, apex, right, ("inner", "outer")))
    return sketch


def test_draft_directs_each_side_of_a_seam_as_its_strokes_run() -> None:
    made = making()
    made.add(square("front", is_front=True))
    made.add(square("back"))
    made.sew(Phase.SIDES, "side", run("front", "side"), run("back", "side"))

    draft = made.draft("any")

    one, other = (next(draft.walk(side)) for side in (draft.seams[0].a, draft.seams[0].b))
    assert (one.start, one.end) == (Point(-100.0, 100.0), Point(-100.0, 0.0))
    assert (other.start, other.end) == (Point(100.0, 100.0), Point(100.0, 0.0))


def test_draft_lists_seams_and_notes_in_the_order_of_sewing() -> None:
    made = making()
    made.add(square("back"))
    line = run("back", "side")
    made.sew(Phase.CLOSURE, "last", line, line)
    made.sew(Phase.SHOULDERS, "first", line, line)
    made.sew(Phase.SHOULDERS, "second", line, line)
    made.note(Phase.HEM, "then the hem")
    made.note(Phase.NECK, "the neck before")

    draft = made.draft("any")

    assert [seam.name for seam in draft.seams] == ["first", "second", "last"]
    assert draft.notes == ("the neck before", "then the hem")


def test_draft_sews_darts_and_lets_the_outline_run_on_across_them() -> None:
    made = making()
    made.add(darted("back"))

    draft = made.draft("any")

    assert [(seam.name, seam.method) for seam in draft.seams] == [("back dart", Method.DART)]
    corners = draft.continuations[0].corners
    assert {corners[0].before, corners[0].after} == {"waist centre", "inner"}
    assert {corners[1].before, corners[1].after} == {"outer", "waist side"}


@pytest.mark.parametrize("turn", range(7))
def test_draft_finds_a_darts_neighbours_wherever_the_ring_begins(turn: int) -> None:
    made = making()
    sketch = darted("back")
    sketch.strokes = sketch.strokes[turn:] + sketch.strokes[:turn]
    made.add(sketch)

    names = {name for c in made.draft("any").continuations[0].corners for name in (c.before, c.after)}

    assert names == {"waist centre", "inner", "outer", "waist side"}


def test_girth_collects_the_widths_of_several_parts() -> None:
    made = making()
    made.add(square("front", is_front=True))
    made.add(square("back"))
    for name in ("front", "back"):
        made.girth("waist", 360.0, 40.0, Width(name, Point(0.0, 0.0), Point(100.0, 0.0)))

    level = made.draft("any").levels[0]

    assert (level.body, level.ease) == (360.0, 40.0)
    assert [(chord.piece, chord.end, chord.times) for chord in level.chords] == [
        ("front", Point(-100.0, 0.0), 2),
        ("back", Point(100.0, 0.0), 2),
    ]


def test_renamed_lets_two_edges_stand_for_one_in_lines_and_seams() -> None:
    made = making()
    made.add(square("back"))
    made.lines["back side"] = run("back", "side")
    made.sew(Phase.SIDES, "side", back_along(run("back", "side")), run("back", "side"))
    upper, lower = (
        Path.line(Point(100.0, 100.0), Point(100.0, 60.0)),
        Path.line(Point(100.0, 60.0), Point(100.0, 0.0)),
    )
    made.sketches["back"].put("side", Stroke("lower", lower), Stroke("upper", upper))

    made.renamed(Step("back", "side"), run("back", "upper", "lower"))

    seam = made.draft("any").seams[0]
    assert [ref.edge for ref in seam.a] == ["lower", "upper"]
    assert [ref.edge for ref in seam.b] == ["upper", "lower"]
    assert made.run_path("back side").length == 100.0


def test_centre_of_a_skirt_is_its_sides_unless_said_otherwise() -> None:
    made = making()
    made.centres["back"] = Centre("zip", depth=150.0)
    made.centres["skirt front"] = Centre("seam")

    assert made.centre("skirt back") == Centre("zip", depth=150.0)
    assert made.centre("skirt front") == Centre("seam")
    assert made.centre("front") == Centre("fold")


def test_add_refuses_a_second_piece_of_one_name() -> None:
    made = making()
    made.add(square("back"))

    with pytest.raises(ValueError, match="there is a piece back already"):
        made.add(square("back"))


def test_length_of_nothing_is_left_to_the_rule() -> None:
    assert making(skirt_length=0.0).length("skirt_length", 500.0) == 500.0
    assert making(skirt_length=610.0).length("skirt_length", 500.0) == 610.0
    assert making().length("skirt_length", 500.0) == 500.0


COLLAR = Choice("collar", "Collar", "option", "none", (("none", "none"), ("flat", "flat")))
NECKLINE = Choice("neckline", "Neckline", "option", "round", (("round", "round"), ("boat", "boat")))
CLASH = Clash("neckline", ("boat",), "collar", ("flat",), "a flat collar needs a round neckline")


class OnePart:
    """A part that draws one piece and remembers nothing."""

    choices = (COLLAR, NECKLINE)
    needs = ("bust_girth",)
    clashes = (CLASH,)

    def make(self, made: Making) -> None:
        made.add(square("back"))


def test_composed_asks_each_choice_once_and_runs_its_parts() -> None:
    class Other:
        choices = (NECKLINE,)
        needs = ("bust_girth", "waist_girth")
        clashes = ()

        def make(self, made: Making) -> None:
            line = run("back", "side")
            made.sew(Phase.SIDES, made.chosen("neckline"), line, line)

    style = composed("two", "Two parts", "", (OnePart(), Other()))
    draft = style.recipe(BODY, read_all(style, {}, Unit.MM), HOUSE)

    assert [choice.name for choice in style.choices] == ["collar", "neckline"]
    assert style.needs == ("bust_girth", "waist_girth")
    assert [seam.a for seam in draft.seams] == [(EdgeRef("back", "side", True),)]
    assert draft.seams[0].name == "round"


def test_composed_leaves_out_a_clash_with_a_choice_that_nobody_asks() -> None:
    style = composed("one", "One", "", (OnePart(),), (Clash("sleeve", ("puff",), "collar", ("flat",), "no"),))

    assert style.clashes == (CLASH,)


def test_read_all_refuses_two_choices_that_cannot_go_together() -> None:
    style = composed("one", "One", "", (OnePart(),))

    with pytest.raises(BadChoice, match="a flat collar needs a round neckline") as refused:
        read_all(style, {"neckline": "boat", "collar": "flat"}, Unit.MM)

    assert refused.value.field == "collar"
    assert isinstance(style, Style)
    assert read_all(style, {"neckline": "boat"}, Unit.MM) == {"collar": "none", "neckline": "boat"}
