from __future__ import annotations

import pytest

from tests.workshop.orders.house import NOW, draft, lay, measure
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Document
from workshop.orders import services
from workshop.orders.models import Draft, Garment, LayPlan, OrderDocument
from workshop.people import services as people


def erase(house, wearer):
    return people.erase_wearer(wearer=wearer, reason="asked by letter", by=house.owner, now=NOW)


def keep_file(house, made):
    """A file of a draft, as the job of its files leaves it."""
    job = services.request_files(draft=made, by=house.owner, now=NOW)
    document = jobs.store_document(
        job=job, name="pattern.svg", content_type="image/svg+xml", content=b"<svg/>"
    )
    OrderDocument.objects.create(
        order=made.garment.order, draft=made, kind="pattern-svg", source_id=made.pk, document=document
    )


def test_erase_wearer_deletes_drafts_lays_and_files(
    house, garment, files, django_capture_on_commit_callbacks
):
    made = draft(house, garment)
    lay(made)
    keep_file(house, made)
    Garment.objects.filter(pk=garment.pk).update(stage="delivered")
    assert len([path for path in files.rglob("*") if path.is_file()]) == 1

    with django_capture_on_commit_callbacks(execute=True):
        erase(house, garment.wearer)

    garment.refresh_from_db()
    left = [model.objects.count() for model in (Draft, LayPlan, OrderDocument, Document)]
    assert left == [0, 0, 0, 0]
    assert [path for path in files.rglob("*") if path.is_file()] == []
    assert garment.measurements is None
    assert garment.wearer.measurement_sets.get().values == {}


def test_erase_wearer_is_refused_while_a_garment_is_in_work(house, garment):
    made = draft(house, garment)

    with pytest.raises(Refusal, match="Grey dress is still in work; deliver it or cancel its order first"):
        erase(house, garment.wearer)

    garment.wearer.refresh_from_db()
    assert garment.wearer.erased_at is None
    assert garment.wearer.measurement_sets.get().values["bust_girth"] == 920.0
    assert list(Draft.objects.all()) == [made]


def test_erase_wearer_of_a_cancelled_order_is_done(house, order, garment):
    measure(house, garment)
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    erased = erase(house, garment.wearer)

    assert (erased.name, erased.erased_at) == ("erased", NOW)
