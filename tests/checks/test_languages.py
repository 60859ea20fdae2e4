"""How a language writes days and amounts, against a second source.

The service reads the Unicode CLDR through Babel. The other source are the formats that Django's translators
keep for each language (``django.conf.locale``), which do not come from there.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

import pytest
from django.conf import settings
from django.utils import formats, translation
from django.utils.dateformat import format as django_format

from costing import speech
from costing.rules.money import MINOR_UNITS

FOREIGN = [code for code, _ in settings.LANGUAGES if code != "en"]
DAYS = [date(2026, month, day) for month in range(1, 13) for day in (2, 28)]


@pytest.mark.parametrize("language", FOREIGN)
def test_days_are_written_as_djangos_translators_write_them(language):
    with translation.override(language):
        assert [speech.day(on) for on in DAYS] == [formats.date_format(on, "DATE_FORMAT") for on in DAYS]
        for on in DAYS:
            assert speech.weekday(on).startswith(django_format(on, "l"))
            assert speech.weekday(on).endswith(speech.day(on))
            assert speech.day(on).startswith(speech.weekday_this_year(on).split(maxsplit=1)[1])


@pytest.mark.parametrize("language", FOREIGN)
def test_amounts_have_the_decimal_mark_and_the_groups_of_djangos_translators(language):
    """The two differ in what stands between thousands, and both are right.

    CLDR has a narrow blank where Django has a common one (French), a point where it has a blank (Spanish).
    """
    with translation.override(language):
        written = formats.number_format(Decimal("12345678.50"), 2, use_l10n=True, force_grouping=True)
        ours = speech.money(Decimal("12345678.50"), "EUR", with_code=False)

    assert ours[-3:] == written[-3:] == ",50"
    assert re.sub(r"\d", "0", ours).split(ours[2]) == re.sub(r"\d", "0", written).split(written[2])
    assert ours[2] in {written[2], "\u202f", "."}


def test_english_days_are_the_houses_own():
    assert speech.weekday(date(2026, 12, 5)) == "Saturday 5 December 2026"
    assert speech.weekday_this_year(date(2026, 12, 5)) == "Saturday 5 December"
    assert speech.day(date(2026, 12, 5)) == "5 December 2026"


@pytest.mark.parametrize("language", FOREIGN)
@pytest.mark.parametrize(("currency", "decimals"), [("JPY", 0), ("EUR", 2), ("KWD", 3)])
def test_an_amount_has_its_currencys_decimals_in_every_language(language, currency, decimals):
    """Source: ISO 4217, list one."""
    with speech.speaking(language):
        whole, mark, fraction = speech.money(Decimal("1234.5678"), currency).partition(",")

    assert MINOR_UNITS[currency] == decimals
    assert (len(fraction), bool(mark)) == (decimals, decimals > 0)
    assert whole.startswith(f"{currency}\u00a01")
