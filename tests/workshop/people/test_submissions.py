from __future__ import annotations

import uuid

import pytest

from tests.workshop.people.conftest import NOW
from workshop.errors import Refusal
from workshop.people import services
from workshop.people.models import Client, Submission
from workshop.people.services.submissions import KEPT_FOR, Sent


def add(room, mark, name="Ada", now=NOW) -> Sent:
    def deed() -> str:
        client = services.create_client(workshop=room.workshop, name=name, by=room.owner, now=now)
        return f"/clients/{client.name}/"

    return services.do_once(workshop=room.workshop, mark=mark, now=now, deed=deed)


def added(room) -> list[str]:
    return list(
        Client.objects.filter(workshop=room.workshop)
        .exclude(pk=room.client.pk)
        .values_list("name", flat=True)
    )


def test_do_once_does_it_once_and_leads_to_the_same_place(room):
    mark = uuid.uuid4()

    first, second = add(room, mark), add(room, mark, name="Bea")

    assert (first, second) == (Sent("/clients/Ada/", True), Sent("/clients/Ada/", False))
    assert added(room) == ["Ada"]


def test_do_once_keeps_nothing_of_what_was_refused(room):
    mark = uuid.uuid4()

    with pytest.raises(Refusal, match="Enter the client's name"):
        add(room, mark, name="")

    assert not Submission.objects.exists()
    assert add(room, mark).is_first


def test_do_once_tells_workshops_and_marks_apart(room, next_door):
    mark = uuid.uuid4()

    assert [add(room, mark).is_first, add(next_door, mark).is_first] == [True, True]
    assert add(room, uuid.uuid4(), name="Bea").is_first
    assert (added(room), added(next_door)) == (["Ada", "Bea"], ["Ada"])


def test_forget_submissions_forgets_the_old_ones_of_one_workshop(room, next_door):
    old, young = uuid.uuid4(), uuid.uuid4()
    add(room, old)
    add(room, young, now=NOW + KEPT_FOR)
    add(next_door, old)

    forgotten = services.forget_submissions(workshop=room.workshop, now=NOW + KEPT_FOR * 1.5)

    assert forgotten == 1
    assert [row.mark for row in Submission.objects.order_by("pk")] == [young, old]
