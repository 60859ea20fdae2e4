"""What a customer writes: an answer to the quote."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from costing.models import Quote
from costing.rules.options import Alternative, options_in
from costing.speech import money

MOST_VERSIONS = 100_000


class AnswerForm(forms.Form):
    """An answer to the version of the quote that the letter showed."""

    version = forms.IntegerField(min_value=1, max_value=MOST_VERSIONS, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        # The field is hidden, so its own fault would be seen by nobody.
        if "version" in self.errors:
            self.add_error(None, gettext("Please open the letter again and answer the quote that it shows."))
        return self.cleaned_data


class AcceptForm(AnswerForm):
    """Who accepts; and, where the quote offers choices (``option-0`` ...), what was picked of each."""

    name = forms.CharField(
        max_length=120,
        label=_("Your name"),
        help_text=_("You accept the quote and its terms as they stand above."),
    )

    def __init__(self, *args: Any, quote: Quote | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        options = () if quote is None else options_in(quote.content)
        for place, option in enumerate(options):
            assert quote is not None
            self.fields[f"option-{place}"] = forms.TypedChoiceField(
                coerce=int,
                choices=[(at, _way_words(way, quote.currency)) for at, way in enumerate(option.alternatives)],
                initial=0,
                label=option.title,
                widget=forms.RadioSelect,
            )
        self.order_fields([f"option-{place}" for place in range(len(options))])

    def answer(self) -> dict[str, Any]:
        """What the service takes."""
        data = self.cleaned_data
        picks = {
            int(name.removeprefix("option-")): value
            for name, value in data.items()
            if name.startswith("option-")
        }
        return {"name": data["name"], "version": data["version"], "picks": picks}


def _way_words(way: Alternative, currency: str) -> str:
    said = {"way": way.words, "amount": money(abs(way.difference), currency)}
    if not way.what:
        return gettext("%(way)s (as above)") % said
    if not way.difference:
        return gettext("%(way)s, for the same price") % said
    if way.difference > 0:
        return gettext("%(way)s, %(amount)s more") % said
    return gettext("%(way)s, %(amount)s less") % said


class DeclineForm(AnswerForm):
    reason = forms.CharField(
        max_length=300, required=False, label=_("Why"), help_text=_("It helps us; you need not say.")
    )
