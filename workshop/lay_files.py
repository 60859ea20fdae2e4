"""A lay plan as a file: to scale for a sheet of paper, full size for a plotter, DXF for a cutter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from drafting.layplan import LayPlan
from drafting.layplan.files import lay_dxf, lay_pdf
from drafting.layplan.picture import lay_svg
from drafting.units import Unit


@dataclass(frozen=True, slots=True)
class LayFile:
    """A kind of file: its type, and how it is made."""

    content_type: str
    made: Callable[[LayPlan, Unit], bytes]


LAY_FILES = {
    "pdf": LayFile("application/pdf", lambda plan, unit: lay_pdf(plan, unit=unit)),
    "dxf": LayFile("application/dxf", lambda plan, unit: lay_dxf(plan)),
    "svg": LayFile("image/svg+xml", lambda plan, unit: lay_svg(plan, unit=unit).encode()),
}
"""By the ending in their address."""
