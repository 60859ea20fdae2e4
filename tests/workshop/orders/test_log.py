from __future__ import annotations

import pytest

from tests.workshop.orders.house import NOW, to_sew
from workshop.people.models import LogEntry, LogIsAppendOnly
from workshop.people.queries import log_of


def test_log_has_an_entry_for_each_change_on_the_way_to_sewing(house, order):
    garment = to_sew(house, order)

    entries = log_of(house.workshop, order_id=order.pk).filter(order_id=order.pk).order_by("pk")
    lines = garment.drafts.get().cutting_lines.count()
    assert [entry.action for entry in entries] == [
        "take order",
        "set measurements",
        "draft garment",
        "prepare quote",
        "send quote",
        "accept quote",
        "issue invoice",
        "record payment",
        "move garment",
        *["tick line"] * lines,
        "move garment",
    ]
    assert {entry.at for entry in entries} == {NOW}


def test_log_never_carries_a_measurement_or_the_wearer_s_name(house, order):
    measured = to_sew(house, order).measurements

    text = str(list(LogEntry.objects.exclude(action="accept quote").values("summary", "before", "after")))

    assert measured.values["bust_girth"] == 920.0
    assert "920" not in text
    assert "Marta" not in text


@pytest.mark.parametrize(
    "tamper",
    [
        lambda entry: entry.save(),
        lambda entry: entry.save(update_fields=["summary"]),
        lambda entry: entry.delete(),
        lambda entry: LogEntry.objects.filter(pk=entry.pk).update(summary="another"),
        lambda entry: LogEntry.objects.filter(pk=entry.pk).delete(),
        lambda entry: LogEntry.objects.bulk_update([entry], ["summary"]),
        lambda entry: entry.workshop.log.all().delete(),
    ],
)
def test_log_entry_refuses_to_be_changed_or_deleted(house, tamper):
    entry = LogEntry.objects.earliest("pk")
    before = entry.summary
    entry.summary = "another"

    with pytest.raises(LogIsAppendOnly, match=r"^an entry of the log is never (changed|deleted)$"):
        tamper(entry)

    assert LogEntry.objects.get(pk=entry.pk).summary == before
