"""The cutting list's lines, in order and in words."""

from __future__ import annotations

from drafting.output.cutting import CuttingLine, cutting_list, how_to_cut
from drafting.pattern import Cut
from tests.drafting.output.samples import sample_draft


def test_cutting_list_goes_cloth_by_cloth_in_the_drafts_order():
    assert cutting_list(sample_draft()) == (
        CuttingLine("shell", "front bodice", 1, "on fold"),
        CuttingLine("shell", "front with lapel", 2, "pair"),
        CuttingLine("shell", "skirt front", 1, "on fold"),
        CuttingLine("shell", "back neck facing", 1, "on fold"),
        CuttingLine("lining", "front bodice", 1, "on fold"),
        CuttingLine("interfacing", "front with lapel", 2, "pair"),
        CuttingLine("interfacing", "back neck facing", 1, "on fold"),
    )


def test_how_to_cut_names_each_way():
    cuts = [Cut("shell"), Cut("shell", 2), Cut("shell", 2, mirrored=True), Cut("shell", 4, mirrored=True)]

    assert [how_to_cut(cut) for cut in cuts] == ["single", "alike", "pair", "pairs"]
    assert CuttingLine("shell", "pocket", 4, "pairs").words == "cut 4, 2 pairs"
