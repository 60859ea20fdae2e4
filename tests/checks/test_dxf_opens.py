"""The dress's DXF opened by ezdxf (an independent reader of the format): no audit error, lengths as drafted.

Layers of ASTM D6673, from memory: 1 boundary, 4 notch, 6 mirror, 7 grain, 8 internal, 13 drill, 14 sew, 15
text.
"""

from __future__ import annotations

from io import StringIO
from itertools import pairwise
from math import dist

import ezdxf
import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.output.dxf import block_names, pattern_dxf
from drafting.output.label import Label
from tests.drafting.output.samples import BODY

LAYERS = {"1", "4", "6", "7", "8", "13", "14", "15"}


@pytest.mark.parametrize("closure", ["centre-back zip", "front buttons"])
def test_dress_dxf_opens_without_audit_error_and_keeps_its_lengths(closure):
    draft = make_draft("notched-collar-dress", Body.of(BODY), {"closure": closure})

    document = ezdxf.read(
        StringIO(pattern_dxf(draft, Label("Dress", "A. B.", "2026-11-25", "1")).decode("cp1252"))
    )

    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    for piece, name in zip(draft.pieces, block_names(draft.pieces), strict=True):
        block = document.blocks.get(name)
        assert {entity.dxf.layer for entity in block} <= LAYERS
        (boundary,) = [entity for entity in block if entity.dxf.layer == "1"]
        points = [tuple(vertex.dxf.location)[:2] for vertex in boundary.vertices]
        ring = [*piece.cut_line, piece.cut_line[0]]
        drafted = sum(dist(a, b) for a, b in pairwise(ring))
        assert sum(dist(a, b) for a, b in pairwise([*points, points[0]])) == pytest.approx(drafted, abs=1e-6)
        assert len([entity for entity in block if entity.dxf.layer == "4"]) == sum(
            n.count for n in piece.notches
        )
