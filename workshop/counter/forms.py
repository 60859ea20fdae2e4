"""What a customer writes: an answer to the quote."""

from __future__ import annotations

from typing import Any

from django import forms

MOST_VERSIONS = 100_000


class AnswerForm(forms.Form):
    """An answer to the version of the quote that the letter showed."""

    version = forms.IntegerField(min_value=1, max_value=MOST_VERSIONS, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        # The field is hidden, so its own fault would be seen by nobody.
        if "version" in self.errors:
            self.add_error(None, "Please open the letter again and answer the quote that it shows.")
        return self.cleaned_data


class AcceptForm(AnswerForm):
    name = forms.CharField(
        max_length=120, label="Your name", help_text="You accept the quote and its terms as they stand above."
    )


class DeclineForm(AnswerForm):
    reason = forms.CharField(
        max_length=300, required=False, label="Why", help_text="It helps us; you need not say."
    )
