"""What the owner lets the customer choose between in a quote."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from costing.models import Cloth
from drafting.styles import STYLES
from workshop.orders.models import Garment
from workshop.orders.services.what_if import LINING


class OfferForm(forms.Form):
    """Another shell cloth, or another lining, for one garment of the quote."""

    garment = forms.TypedChoiceField(coerce=int)
    cloth = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Another shell cloth")
    lining = forms.ChoiceField(required=False, label="Or lined")
    lining_cloth = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Lining cloth")

    def __init__(
        self, *args: Any, garments: Sequence[Garment], cloths: Sequence[Cloth], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.garments = {garment.pk: garment for garment in garments}
        self.cloths = {cloth.pk: cloth for cloth in cloths}
        self._offer("garment", [(pk, garment.title) for pk, garment in self.garments.items()])
        for name, use in (("cloth", Cloth.Use.SHELL), ("lining_cloth", Cloth.Use.LINING)):
            self._offer(
                name, [("", "as quoted"), *((pk, c.name) for pk, c in self.cloths.items() if c.use == use)]
            )
        self._offer("lining", [("", "as quoted"), *self._linings()])

    def _offer(self, name: str, choices: list[tuple[Any, str]]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]  # a choice field

    def _linings(self) -> list[tuple[str, str]]:
        """The ways of lining that the garments' styles know, each once."""
        known: dict[str, str] = {}
        for garment in self.garments.values():
            for choice in STYLES[garment.style].choices:
                if choice.name == LINING:
                    known |= dict(choice.options)
        return list(known.items())

    def wanted(self) -> dict[str, Any]:
        """What the service takes."""
        data = self.cleaned_data
        return {
            "garment": self.garments[data["garment"]],
            "cloth": self.cloths.get(data["cloth"]),
            "lining": data["lining"] or None,
            "lining_cloth": self.cloths.get(data["lining_cloth"]),
        }
