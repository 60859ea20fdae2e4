"""What a tape shows: lengths to its nearest mark."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.units import Unit, format_length


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape in a unit: ``mark`` is the distance of its marks, ``spacing`` that of offsets on a curve, mm."""

    unit: Unit
    mark: float
    spacing: float

    def nearest(self, mm: float) -> float:
        """The nearest mark, mm."""
        return round(mm / self.mark) * self.mark

    def words(self, mm: float) -> str:
        """A length as it is printed, without its unit."""
        return format_length(mm, self.unit)


def tape_in(unit: Unit) -> Tape:
    """Eighths of an inch with offsets every 2 in; millimetres with offsets every 5 cm."""
    if unit in (Unit.IN, Unit.YD):
        return Tape(Unit.IN, 25.4 / 8, 50.8)
    return Tape(Unit.MM if unit is Unit.MM else Unit.CM, 1.0, 50.0)
