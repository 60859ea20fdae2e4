"""Numbers as people write them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms


class NumberField(forms.DecimalField):
    """A decimal that shows ``18`` where its column holds ``18.00``; amounts of money keep their decimals."""

    def prepare_value(self, value: Any) -> Any:
        return f"{Decimal(str(value)).normalize():f}" if isinstance(value, Decimal | float) else value
