from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry.lazy import lazy

ASKED: list[float] = []


@dataclass(frozen=True)
class Square:
    side: float

    @lazy
    def area(self) -> float:
        """mm2."""
        ASKED.append(self.side)
        return self.side**2


def test_lazy_is_made_once_for_each_instance_and_is_no_part_of_its_value() -> None:
    one, other = Square(3.0), Square(4.0)

    assert (one.area, one.area, other.area) == (9.0, 9.0, 16.0)
    assert ASKED == [3.0, 4.0]
    assert one == Square(3.0)
    assert Square.area.__doc__ == "mm2."
