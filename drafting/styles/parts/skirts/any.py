"""A choice of skirts: one of several kinds hangs from the waist."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from drafting.making import Making
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.part import Part
from drafting.styles.parts.skirts.circle import CircleSkirt
from drafting.styles.parts.skirts.gathered import GatheredSkirt
from drafting.styles.parts.skirts.gored import GoredSkirt
from drafting.styles.parts.skirts.hanging import NEEDS
from drafting.styles.parts.skirts.pleated import PleatedSkirt
from drafting.styles.parts.skirts.straight import ALineSkirt, StraightSkirt

STRAIGHT, A_LINE, GORED, CIRCLE = "straight", "A-line", "gored", "circle"
GATHERED, PLEATED = "gathered", "pleated"
KINDS: Final[Mapping[str, tuple[str, Part]]] = MappingProxyType(
    {
        STRAIGHT: ("straight, with darts", StraightSkirt()),
        A_LINE: ("A-line", ALineSkirt()),
        GORED: ("gored", GoredSkirt()),
        CIRCLE: ("circle", CircleSkirt()),
        GATHERED: ("gathered", GatheredSkirt()),
        PLEATED: ("pleated all round", PleatedSkirt()),
    }
)


@dataclass(frozen=True, slots=True)
class AnySkirt:
    """The skirts that a style offers, the first its default."""

    offered: tuple[str, ...] = tuple(KINDS)
    needs: tuple[str, ...] = NEEDS

    @property
    def choices(self) -> tuple[Choice, ...]:
        options = tuple((kind, KINDS[kind][0]) for kind in self.offered)
        own = {choice.name: choice for kind in self.offered for choice in KINDS[kind][1].choices}
        asked = (replace(choice, only_with=("skirt", self._kinds_with(name))) for name, choice in own.items())
        return (Choice("skirt", "Skirt", "option", self.offered[0], options), *asked)

    def _kinds_with(self, name: str) -> tuple[str, ...]:
        """The skirts offered that ask this choice."""
        return tuple(
            kind for kind in self.offered if any(choice.name == name for choice in KINDS[kind][1].choices)
        )

    @property
    def clashes(self) -> tuple[Clash, ...]:
        return tuple(clash for kind in self.offered for clash in KINDS[kind][1].clashes)

    def make(self, making: Making) -> None:
        """Draw the skirt that was chosen. Raises: BadChoice, CannotDraft."""
        KINDS[making.chosen("skirt", self.offered[0])][1].make(making)
