"""Who wears a garment, its style with choices, and its cloths."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from django import forms

from costing.models import Cloth
from drafting.errors import BadChoice
from drafting.styles import STYLES, Choice, Style, read_choices
from drafting.units import Unit, format_length
from workshop.desk.forms.orders import date_input
from workshop.orders.rules.ways import WISHES
from workshop.people.models import Client, Wearer, Workshop

ROLES = ("shell", "lining", "interfacing")


def choice_field_name(style: str, choice: str) -> str:
    return f"{style}--{choice}"


class ChoicesForm(forms.Form):
    """A style and its choices, lengths in the workshop's unit; fields are those of the style shown.

    Args:
        workshop: whose unit.
        held: the choices as they are kept, mm, of the style ``initial["style"]``.
    """

    style = forms.ChoiceField(label="Style")

    def __init__(
        self, *args: Any, workshop: Workshop, held: Mapping[str, Any] | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.unit = Unit(workshop.length_unit)
        kept = self.initial.get("style")
        self.shown = _style_shown(self.data.get("style") or kept)
        self.held = (held or {}) if self.shown.name == kept else {}
        self.fields["style"].choices = [(style.name, style.title) for style in STYLES.values()]  # type: ignore[attr-defined]  # a ChoiceField
        self.fields["style"].initial = self.shown.name
        for choice in self.shown.choices:
            value = self.held.get(choice.name, choice.default)
            name = choice_field_name(self.shown.name, choice.name)
            self.fields[name] = self._choice_field(choice, value)
            if choice.only_with:
                other, values = choice.only_with
                self.fields[name].widget.attrs |= {
                    "data-only-with": choice_field_name(self.shown.name, other),
                    "data-values": json.dumps([str(value) for value in values]),
                }

    def _choice_field(self, choice: Choice, value: Any) -> forms.Field:
        if choice.kind == "option":
            return forms.ChoiceField(
                label=choice.title,
                choices=choice.options,
                initial=value,
                help_text=choice.help,
                required=False,
            )
        if choice.kind == "switch":
            return forms.BooleanField(
                label=choice.title, initial=value, help_text=choice.help, required=False
            )
        if choice.kind == "count":
            limits = f" From {choice.low:g} to {choice.high:g}."
            return forms.CharField(
                label=choice.title, initial=value, help_text=choice.help + limits, required=False
            )
        low, high = (format_length(mm, self.unit) for mm in (choice.low or 0, choice.high or 0))
        return forms.CharField(
            label=f"{choice.title}, {self.unit}",
            initial=format_length(float(value), self.unit) if value else "",
            help_text=f"{choice.help} From {low} to {high}.",
            widget=forms.TextInput(attrs={"placeholder": "by the house rule"} if choice.default == 0 else {}),
            required=False,
        )

    def choice_fields(self) -> list[forms.BoundField]:
        """The fields of the choices, in the style's order."""
        return [self[choice_field_name(self.shown.name, choice.name)] for choice in self.shown.choices]

    def clashes(self) -> list[dict[str, Any]]:
        """What cannot go together, for the page: the values of one field with those of the other, and why."""
        return [
            {
                "field": choice_field_name(self.shown.name, clash.name),
                "values": list(clash.values),
                "other": choice_field_name(self.shown.name, clash.other),
                "others": list(clash.others),
                "reason": clash.reason,
            }
            for clash in self.shown.clashes
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        style = str(data.get("style"))
        if style not in STYLES:
            return data
        raw = {
            choice.name: self._as_held(choice, name, data[name])
            for choice in STYLES[style].choices
            if (name := choice_field_name(style, choice.name)) in data and data[name] != ""
        }
        try:
            data["choices"] = read_choices(style, raw, self.unit)
        except BadChoice as refusal:
            name = choice_field_name(style, refusal.field)
            self.add_error(name if name in self.fields else None, str(refusal))
        return data

    def _as_held(self, choice: Choice, name: str, typed: Any) -> Any:
        """A length left as it was shown is kept exactly, not as it was rounded for the page."""
        if choice.kind == "length" and choice.name in self.held and typed == self.fields[name].initial:
            return f"{float(self.held[choice.name])!r} mm"
        return typed


class StyleForm(ChoicesForm):
    """A garment's name, its style and its choices."""

    title = forms.CharField(
        max_length=120, label="Name of the garment", help_text="As the client calls it: confirmation dress."
    )


def _style_shown(name: object) -> Style:
    """The style whose choices are on the page: the first where none of that name is."""
    return STYLES.get(str(name), next(iter(STYLES.values())))


class ClothForm(forms.Form):
    """Which cloth of the price list each part is cut from."""

    def __init__(self, *args: Any, workshop: Workshop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = Cloth.objects.filter(workshop=workshop, archived_at=None).order_by("name", "pk")
        for role in ROLES:
            self.fields[role] = forms.ModelChoiceField(
                queryset=rows.filter(use=role),
                required=False,
                label=role.capitalize(),
                empty_label="not chosen yet",
            )
            self.fields[f"{role}_way"] = forms.ChoiceField(
                choices=WISHES, required=False, label=f"How the {role} is laid"
            )

    def cloths(self) -> dict[str, tuple[Cloth, str]]:
        """role -> (cloth, way) of the parts that have one."""
        data = self.cleaned_data
        return {role: (data[role], data[f"{role}_way"]) for role in ROLES if data.get(role)}


class WearerChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic at run time
    def label_from_instance(self, obj: Any) -> str:
        return str(obj.name)


class WearerForm(forms.Form):
    """Who is measured. For a minor a guardian consents to the measurements being kept."""

    wearer = WearerChoice(
        queryset=Wearer.objects.none(), required=False, empty_label="somebody new", label="Wearer"
    )
    wearer_name = forms.CharField(max_length=120, required=False, label="New wearer's name")
    born_on = forms.DateField(
        required=False,
        label="Born on",
        widget=date_input(),
        help_text="Needed for a child: cautions depend on age.",
    )
    is_minor = forms.BooleanField(required=False, label="The wearer is a minor")
    guardian = forms.CharField(max_length=120, required=False, label="Guardian")
    consent_by = forms.CharField(
        max_length=120,
        required=False,
        label="Consent given by",
        help_text="To measuring and to keeping the measurements as long as the order needs them.",
    )
    consent_on = forms.DateField(required=False, label="Consent given on", widget=date_input())

    def __init__(self, *args: Any, client: Client | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if client is not None:
            rows = Wearer.objects.filter(client=client, erased_at=None).order_by("name", "pk")
            self.fields["wearer"].queryset = rows  # type: ignore[attr-defined]  # a ModelChoiceField

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        faulty = {"wearer", "wearer_name"} & set(self.errors)  # which says enough
        if not faulty and data.get("wearer") is None and not data.get("wearer_name"):
            self.add_error("wearer_name", "Choose who wears it or write the new wearer's name.")
        return data
