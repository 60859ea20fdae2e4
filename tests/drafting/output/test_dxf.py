"""The DXF read back by the library that reads it, against the draft's own numbers."""

from __future__ import annotations

from io import StringIO

import ezdxf
import pytest

from drafting.geometry import distance
from drafting.output.dxf import block_names, pattern_dxf
from drafting.output.label import Label
from drafting.pattern import Cut, Piece
from tests.drafting.output.samples import front, sample_draft

LABEL = Label("Łucja's dress", "A. B.", "2026-11-25", "3")


@pytest.fixture(scope="module")
def document():
    return ezdxf.read(StringIO(pattern_dxf(sample_draft(), LABEL).decode("cp1252")))


def on_layer(document, block: str, layer: str) -> list:
    return [entity for entity in document.blocks.get(block) if entity.dxf.layer == layer]


def ring_length(points) -> float:
    return sum(distance(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def test_pattern_dxf_has_no_audit_error(document):
    auditor = document.audit()

    assert auditor.errors == []
    assert auditor.fixes == []


def test_pattern_dxf_has_a_block_and_an_insert_for_each_piece(document):
    names = ["FRONT_BODICE", "FRONT_WITH_LAPEL", "SKIRT_FRONT", "BACK_NECK_FACING"]

    assert [block.name for block in document.blocks if not block.name.startswith(("*", "$"))] == names
    assert [insert.dxf.name for insert in document.modelspace()] == names


def test_pattern_dxf_boundary_and_stitch_line_are_as_long_as_the_drafts(document):
    for piece, name in zip(sample_draft().pieces, block_names(sample_draft().pieces), strict=True):
        (boundary,) = on_layer(document, name, "1")
        (sew,) = on_layer(document, name, "14")
        assert ring_length([v.dxf.location for v in boundary.vertices]) == pytest.approx(
            ring_length(piece.cut_line), abs=1e-6
        )
        assert ring_length([v.dxf.location for v in sew.vertices]) == pytest.approx(
            ring_length(piece.outline()), abs=1e-6
        )
        assert boundary.is_closed
        assert sew.is_closed


def test_pattern_dxf_puts_each_kind_of_thing_on_its_layer(document):
    counts = {
        layer: len(on_layer(document, "FRONT_BODICE", layer))
        for layer in ("1", "4", "6", "7", "8", "13", "14", "15")
    }

    # Two single notches' worth: one single, one double; a fold; grain; the bust level; a drill hole.
    assert counts == {"1": 1, "4": 3, "6": 1, "7": 1, "8": 1, "13": 1, "14": 1, "15": 8}


def test_pattern_dxf_of_the_same_draft_is_the_same_bytes():
    assert pattern_dxf(sample_draft(), LABEL) == pattern_dxf(sample_draft(), LABEL)


def test_block_names_are_short_and_differ():
    long = front().with_(name="a piece with a name of far too many letters — ü")
    odd = Piece("", front().edges, (Cut("shell"),), front().grain)

    names = block_names((long, long, odd))

    assert names == ("A_PIECE_WITH_A_NAME_OF_FAR_TOO_", "A_PIECE_WITH_A_NAME_OF_FAR_TO_2", "PIECE")
