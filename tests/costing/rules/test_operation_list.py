from __future__ import annotations

from dataclasses import replace

import pytest

from costing.errors import BadAmount
from costing.rules.labour import Group, minutes_by_group, total_minutes
from costing.rules.operation_list import operations
from costing.rules.thread import Stitched
from drafting.geometry import Path, Point
from drafting.pattern import EdgeRef, Mark, MarkKind, Method, NotionNeed, RollLine, Seam
from tests.costing.drafts import slip

NAMES = [
    "Cut the shell",
    "Cut the lining",
    "Cut the interfacing",
    "Mark darts, folds and places on the cut pieces",
    "Fuse the interfacing",
    "Thread the machines and sew a test seam",
    "Sew the bust dart of the front, left and right",
    "Press the bust dart of the front, left and right",
    "Sew the bust dart of the front of the lining, left and right",
    "Press the bust dart of the front of the lining, left and right",
    "Sew the side, left and right",
    "Press the side, left and right",
    "Sew the side of the lining, left and right",
    "Press the side of the lining, left and right",
    "Face the neckline, left and right",
    "Press the neckline, left and right",
    "Baste for the fitting",
    "Try on, pin and mark",
    "Put in the zip, centre back",
    "Press the zip, centre back",
    "Turn up the hems and sew them by hand",
    "Hem the lining",
    "Take out basting and trim threads",
    "Press the finished garment",
    "Look it over",
]


def with_holes(draft, piece, count, where=" (right front)"):
    """The draft with buttonholes marked on one of its pieces."""
    holes = (Mark(f"buttonhole{where}", MarkKind.BUTTONHOLE, line(0, y, 15, y)) for y in range(count))
    pieces = (row.with_(marks=(*row.marks, *holes)) if row.name == piece else row for row in draft.pieces)
    return replace(draft, pieces=tuple(pieces))


def line(ax, ay, bx, by):
    return Path.line(Point(ax, ay), Point(bx, by))


def by_name(draft, **options):
    return {operation.name: operation for operation in operations(draft, **options)}


def test_operations_are_the_sewing_order_of_a_lined_slip():
    listed = operations(slip())

    assert [operation.name for operation in listed] == NAMES
    assert [operation.order for operation in listed] == list(range(1, len(NAMES) + 1))


def test_operations_reckon_a_plain_seam_by_hand():
    """Two side, left and right of 1 m: 2 m x 4 per cm = 800 at 700 a minute; 4 m neatened."""
    side = by_name(slip())["Sew the side, left and right"]

    running = 800 / 700 + 1600 / 900
    handling = 2 * 1.5 + 2 * 3.0
    assert (side.group, side.stitch_class, side.seam_class) == (Group.SEW, "301", "1")
    assert side.seam_length_mm == pytest.approx(2000)
    assert side.stitched == (Stitched("301", 2000.0), Stitched("504", 4000.0))
    assert side.running == pytest.approx(running)
    assert side.handling == pytest.approx(handling)
    assert side.minutes == pytest.approx((running + handling) * 1.09)


def test_operations_cut_by_pieces_edges_and_notches():
    """Shell: front 1 + back 2 + facing 2 = 5 pieces; edges 1.4 + 2 x 2.4 + 2 x 0.45 m; one notch."""
    shell = by_name(slip())["Cut the shell"]

    assert shell.handling == pytest.approx(12 + 5 * 2 + (1.4 + 2 * 2.4 + 2 * 0.45) * 0.9 + 0.1)
    assert shell.why.startswith("5 pieces, 7.1 m of edge, 1 notch")


def test_operations_hem_the_whole_width():
    """Front 200 on the fold = 400, back 2 x 200, facings 2 x 200."""
    hem = by_name(slip())["Turn up the hems and sew them by hand"]

    assert hem.seam_length_mm == pytest.approx(1200)
    assert hem.stitch_class == "200"


def test_operations_fold_each_pleat_on_both_halves_in_shell_and_lining():
    names = by_name(slip(pleats=(60.0, 60.0, 60.0)))

    assert names["Fold and baste the pleats, front"].why.startswith("6 knife pleats, basted over 40 cm")
    assert names["Fold and baste the pleats, front"].handling == pytest.approx(6 * 2.5 + 0.4 * 4)
    assert "Fold and baste the pleats, front, lining" in names


def test_operations_work_buttonholes_before_sewing_on_buttons():
    listed = [operation.name for operation in operations(with_holes(slip(buttons=6), "front", 6))]

    assert listed.index("Work 6 buttonholes") + 1 == listed.index("Sew on 6 buttons")


def test_a_buttonhole_is_worked_where_one_is_marked():
    sewn_through = by_name(slip(buttons=6))
    in_a_pair = by_name(with_holes(slip(buttons=2), "back", 1, where=""))

    assert [name for name in sewn_through if "button" in name] == ["Sew on 6 buttons"]
    assert [name for name in in_a_pair if "button" in name] == ["Work 2 buttonholes", "Sew on 2 buttons"]


def test_operations_press_the_roll_of_each_lapel():
    lapels = by_name(slip(roll_lines=(RollLine("back", Point(0, 0), Point(10, 100), ("centre",)),)))

    assert lapels["Shape and press the roll of the lapels"].handling == pytest.approx(10)


def test_operations_take_longer_at_a_slower_pace():
    assert total_minutes(operations(slip(), skill=0.5)) == pytest.approx(
        2 * total_minutes(operations(slip()))
    )


@pytest.mark.parametrize("skill", [0.0, -1.0, 5.0, float("nan"), float("inf")])
def test_operations_refuse_a_pace_that_nobody_works_at(skill):
    with pytest.raises(BadAmount, match="pace"):
        operations(slip(), skill=skill)


@pytest.mark.parametrize("fittings", [-1, 11])
def test_operations_refuse_an_odd_number_of_fittings(fittings):
    with pytest.raises(BadAmount, match="fittings"):
        operations(slip(), fittings=fittings)


def test_operations_without_a_fitting_plan_none():
    assert Group.FIT not in minutes_by_group(operations(slip(), fittings=0))


def test_operations_run_through_the_phases_and_name_their_kind():
    listed = operations(slip())

    assert [operation.phase for operation in listed] == sorted(operation.phase for operation in listed)
    kinds = {operation.name: operation.kind for operation in listed}
    assert kinds["Put in the zip, centre back"] == "zip"
    assert (
        kinds["Sew the side, left and right"]
        == kinds["Sew the side of the lining, left and right"]
        == "plain"
    )
    assert all(kinds.values())


def test_operations_keep_the_order_of_the_drafts_seams():
    draft = slip()

    listed = [operation.name for operation in operations(replace(draft, seams=draft.seams[::-1]))]

    neckline = listed.index("Face the neckline, left and right")
    assert (
        listed.index("Put in the zip, centre back") < neckline < listed.index("Sew the side, left and right")
    )


def test_operations_sew_pleats_at_the_width_that_they_are_folded_to():
    """A skirt of 1000 pleated into a bodice of 200, twice: 400 mm of seam."""
    draft = slip()
    waist = Seam(
        "waist", (EdgeRef("front", "side"),), (EdgeRef("facing", "top"),), method=Method.PLEATED, times=2
    )

    sewn = by_name(replace(draft, seams=(waist,)))["Sew the pleats into the waist, left and right"]

    assert sewn.seam_length_mm == pytest.approx(400)


def test_operations_gather_along_the_full_width():
    """One row at 400 mm, two gathering rows at 2000 mm, both edges neatened."""
    draft = slip()
    waist = Seam(
        "waist", (EdgeRef("front", "side"),), (EdgeRef("facing", "top"),), method=Method.GATHERED, times=2
    )

    sewn = by_name(replace(draft, seams=(waist,)))["Gather and sew the waist, left and right"]

    assert [(row.stitch_class, round(row.length_mm)) for row in sewn.stitched] == [
        ("301", 400),
        ("301", 2000),
        ("301", 2000),
        ("504", 800),
    ]


def test_operations_only_neaten_the_free_edge_of_a_facing():
    draft = slip()
    facing = draft.piece("facing")
    narrow = facing.with_(edges=tuple(replace(edge, allowance=6.35) for edge in facing.edges))

    names = by_name(replace(draft, pieces=(*draft.pieces[:2], narrow)))

    assert names["Neaten the free edges of the facings"].seam_length_mm == pytest.approx(400)
    assert names["Turn up the hems and sew them by hand"].seam_length_mm == pytest.approx(800)


def test_operations_draw_in_elastic_once_its_hem_is_sewn():
    """5 minutes each, common practice; with the allowance of the standard work study."""
    plain = slip()
    draft = replace(plain, notions=(*plain.notions, NotionNeed("elastic", 2, 600.0)))
    listed = [operation.name for operation in operations(draft)]

    drawn = by_name(draft)["Draw in the elastic and join its ends"]
    assert (drawn.group, drawn.handling) == (Group.SEW, 10.0)
    hem = listed.index("Turn up the hems and sew them by hand")
    assert listed.index("Draw in the elastic and join its ends") > hem


def test_buttons_of_front_and_cuffs_are_one_round_of_work():
    holes = with_holes(with_holes(slip(), "front", 4), "back", 1, where="")
    draft = replace(
        holes, notions=(NotionNeed("button", 4, 15.0, "front"), NotionNeed("button", 2, 11.0, "cuffs"))
    )

    listed = by_name(draft)

    assert [name for name in listed if "button" in name] == ["Work 6 buttonholes", "Sew on 6 buttons"]
