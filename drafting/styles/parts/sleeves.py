"""Sleeves, and the armholes of garments without."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.making import Making
from drafting.styles.choices import Choice, Clash
from drafting.styles.parts.armholes import BOUND, FACED, FINISH_LABELS, bind_armholes, face_armholes
from drafting.styles.parts.linings import is_lined

NO_SLEEVE = "none"
LABELS = {NO_SLEEVE: "none"}


@dataclass(frozen=True, slots=True)
class Sleeves:
    """The sleeves that a style offers, the first its default; and how an armhole without one is finished."""

    offered: tuple[str, ...] = (NO_SLEEVE,)
    finishes: tuple[str, ...] = (FACED, BOUND)
    clashes: tuple[Clash, ...] = ()
    needs: tuple[str, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        found = []
        if NO_SLEEVE in self.offered and len(self.finishes) > 1:
            options = tuple((name, FINISH_LABELS[name]) for name in self.finishes)
            help_ = "Of an armhole without sleeve and without lining."
            found.append(
                Choice("armhole_finish", "Armholes", "option", self.finishes[0], options, help=help_)
            )
        return tuple(found)

    def make(self, making: Making) -> None:
        """Draw the sleeves and set them in, or finish the armholes. Raises: CannotDraft, BadChoice."""
        self._finish(making)

    def _finish(self, making: Making) -> None:
        if is_lined(making):
            return  # the lining finishes the armholes
        if making.chosen("armhole_finish", self.finishes[0]) == BOUND:
            bind_armholes(making)
        else:
            face_armholes(making)
