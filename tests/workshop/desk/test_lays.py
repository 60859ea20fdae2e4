"""Lay plans on the owner's pages: other ways, garments laid together, lengths with flaws."""

from __future__ import annotations

import uuid
from io import BytesIO, StringIO

import ezdxf
import pikepdf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from costing.models import Cloth, Flaw
from costing.queries import lengths_of, lying_of
from costing.services import buy_cloth
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop import jobs
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import GarmentCloth, JointLay, LayPlan


@pytest.fixture
def party(house):
    built.set_prices(house)
    house.workshop.refresh_from_db()
    order = built.take(house, wishes=[built.wish(house, title=title) for title in ("Bride", "Maid")])
    for garment in order.garments.order_by("position"):
        built.lay(built.draft(house, garment))
    return order


def joined(house, order) -> JointLay:
    drafts = [queries.current_draft(garment) for garment in order.garments.order_by("position")]
    return services.make_joint_lay(cloth=house.satin, drafts=drafts, now=timezone.now(), seconds=0.6)


def test_the_order_leads_to_its_garments_ticked_for_laying_together(house, owner, party):
    page = owner.get(reverse("desk:order", args=[party.number])).text
    address = f"{reverse('desk:lays')}?order={party.number}"

    shown = owner.get(address)

    assert f'href="{address}"' in page
    assert [group["cloth"] for group in shown.context["groups"]] == [house.satin, house.interfacing]
    assert shown.text.count("checked") == 4


def lay_alike(joint: JointLay, cloth: Cloth, role: str) -> None:
    """Lay the garments of a joint lay together on another cloth, too, with a job that is open."""
    parts = list(joint.parts.order_by("pk"))
    LayPlan.objects.filter(draft__in=[part.draft_id for part in parts], role=role).delete()
    joint.pk, joint.cloth, joint.role = None, cloth, role
    joint.save()
    for part in parts:
        part.pk, part.joint, part.cloth, part.role = None, joint, cloth, role
        part.save()
    ask_for_joint_lay(cloth)


def ask_for_joint_lay(cloth: Cloth) -> None:
    jobs.request(kind="joint_lay", key=f"cloth-{cloth.pk}-drafts-1", workshop=cloth.workshop, params={})


def test_the_list_asks_the_database_as_often_for_three_cloths(house, owner, party):
    joint = joined(house, party)
    LayPlan.objects.filter(cloth=house.interfacing).delete()
    lining = Cloth.objects.get(pk=house.satin.pk)
    lining.pk, lining.name = None, "Lining"
    lining.save()
    ask_for_joint_lay(house.satin)
    owner.get(reverse("desk:lays"))
    with CaptureQueriesContext(connection) as at_one:
        one = owner.get(reverse("desk:lays")).context["groups"]
    lay_alike(joint, house.interfacing, "interfacing")
    lay_alike(joint, lining, "lining")

    with CaptureQueriesContext(connection) as at_three:
        three = owner.get(reverse("desk:lays")).context["groups"]

    shown = [(len(group["joints"]), group["job"].key.split("-")[1]) for group in three]
    assert (len(one), len(three)) == (1, 3)
    assert sorted(shown) == sorted((1, str(cloth.pk)) for cloth in (house.satin, house.interfacing, lining))
    assert len(at_three) == len(at_one)


def test_laying_together_is_asked_for_once(house, owner, party):
    keys = [garment.pk for garment in party.garments.all()]
    form = {"garment": keys, "submission": uuid.uuid4()}
    address = reverse("desk:lay-together", args=[house.satin.pk])

    for _ in range(2):
        assert owner.post(address, form).url == reverse("desk:lays")

    [job] = Job.objects.filter(kind="joint_lay")
    assert f'data-job="{reverse("job", args=[job.pk])}"' in owner.get(reverse("desk:lays")).text


@pytest.mark.parametrize(
    ("keys", "words"),
    [([], "Choose two garments or more"), (["x", "9" * 30, "-1"], "Choose two garments or more")],
)
def test_what_cannot_be_laid_together_is_told(keys, words, house, owner, party):
    answer = owner.post(
        reverse("desk:lay-together", args=[house.satin.pk]), {"garment": keys, "submission": uuid.uuid4()}
    )

    assert made.told(answer)[0].startswith(words)
    assert not Job.objects.filter(kind="joint_lay").exists()


def test_a_joint_lay_shows_saving_garments_and_cutting_lists(house, owner, party):
    joint = joined(house, party)

    page = owner.get(reverse("desk:joint-lay", args=[joint.pk])).text
    lays = owner.get(reverse("desk:lays")).text
    garment = owner.get(reverse("desk:garment", args=[party.garments.get(position=2).pk])).text

    saving = queries.saving_of(joint)
    assert f"{saving.length_mm / 1000:.2f} m" in page
    assert "Bride" in page
    assert "A front" in page
    assert f"in place of {joint.single_mm / 1000:.2f} m" in lays
    assert "its pieces begin with B" in garment


def test_a_joint_lay_is_laid_apart_and_then_says_that_it_is_superseded(house, owner, party):
    joint = joined(house, party)

    owner.post(reverse("desk:lay-apart", args=[joint.pk]))

    page = owner.get(reverse("desk:joint-lay", args=[joint.pk])).text
    assert "<strong>Superseded:</strong> laid apart" in page
    assert reverse("desk:lay-apart", args=[joint.pk]) not in page


def test_the_bench_says_what_is_cut_together(house, apprentice, party):
    joined(house, party)

    page = apprentice.get(reverse("bench:cut", args=[party.garments.get(position=1).pk])).text

    assert "Cut together with Maid" in page
    assert "its pieces begin with A" in page


def test_other_ways_are_offered_with_length_and_money_and_one_may_be_fixed(house, owner, party):
    garment = party.garments.get(position=1)
    [shell, _] = queries.lays_shown(queries.current_draft(garment))
    other = next(way for way in shell.ways if not way.refused)

    page = owner.get(reverse("desk:garment", args=[garment.pk])).text
    answer = owner.post(reverse("desk:fix-way", args=[garment.pk]), {"role": "shell", "way": other.way})

    assert other.more_money == other.more_mm * 24 / 1000
    assert f'value="{other.way}">Lay it so' in page
    assert answer.url == reverse("desk:garment", args=[garment.pk]) + "#cloth"
    assert GarmentCloth.objects.get(garment=garment, role="shell").way == other.way
    assert Job.objects.filter(kind="lay_plans").count() == 1


def test_a_way_that_does_not_exist_is_refused(house, owner, party):
    garment = party.garments.get(position=1)

    answer = owner.post(reverse("desk:fix-way", args=[garment.pk]), {"role": "shell", "way": "rolled"})

    assert made.told(answer)[0].startswith("There is no such way")
    assert GarmentCloth.objects.get(garment=garment, role="shell").way == ""


def test_a_length_that_serves_is_named_on_the_garment_s_page(house, owner, party):
    garment = party.garments.get(position=1)
    [shell, _] = queries.lays_shown(queries.current_draft(garment))
    buy_cloth(cloth=house.satin, length_mm=shell.row.need_mm + 2, now=timezone.now())

    page = owner.get(reverse("desk:garment", args=[garment.pk])).text

    assert f"Fits on a length on the shelf of {(shell.row.need_mm + 2) / 1000:.2f} m: nothing to buy." in page


def note_flaw(owner, cloth, **more):
    [length] = lying_of(cloth.pk)
    form = {"length": length.key, "at": "80", "across": "20", "size": "4", "note": "a slub", **more}
    return owner.post(
        reverse("desk:note-flaw", args=[cloth.pk]), {**form, "submission": uuid.uuid4()}, follow=True
    )


def test_a_flaw_is_noted_and_taken_off_again(house, owner):
    buy_cloth(cloth=house.satin, length_mm=3000, now=timezone.now())

    page = note_flaw(owner, house.satin).text

    [flaw] = Flaw.objects.all()
    assert (flaw.at_mm, flaw.across_mm, flaw.size_mm, flaw.note) == (800, 200, 40, "a slub")
    assert "sound up to 0.78 m" in page
    owner.post(reverse("desk:drop-flaw", args=[flaw.pk]))
    assert not Flaw.objects.exists()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"at": "400"}, "A flaw lies on the cloth: up to 300 cm here"),
        ({"across": "151"}, "A flaw lies on the cloth: up to 150 cm here"),
        ({"size": "0"}, "A flaw lies on the cloth"),
        ({"at": "far"}, "far"),
        ({"length": "77"}, "Select a valid choice"),
    ],
)
def test_a_flaw_beyond_the_cloth_is_refused(changes, words, house, owner):
    buy_cloth(cloth=house.satin, length_mm=3000, now=timezone.now())

    page = note_flaw(owner, house.satin, **changes)

    assert words in page.text
    assert not Flaw.objects.exists()


def test_lengths_are_ticked_and_laid_on_with_the_roll(house, owner, party):
    garment = party.garments.get(position=1)
    draft = queries.current_draft(garment)
    buy_cloth(cloth=house.satin, length_mm=3000, now=timezone.now())
    note_flaw(owner, house.satin)
    [length] = lengths_of([house.satin.pk])[house.satin.pk]
    address = reverse("desk:lay-on-lengths", args=[draft.pk])

    page = owner.get(reverse("desk:garment", args=[garment.pk])).text
    owner.post(address, {"role": "shell", "length": length.key, "roll": "on"})

    assert (
        f'value="{length.key}" checked> <span>Length of 3.00 m <span class="word look">1 flaw</span>' in page
    )
    assert Job.objects.get(kind="lay_on_lengths").params == {
        "draft": draft.pk,
        "role": "shell",
        "lengths": [length.key, None],
        "by": house.owner.pk,
    }
    assert "Laying on other lengths:" in owner.get(reverse("desk:garment", args=[garment.pk])).text


@pytest.mark.parametrize("length", ["", "x", "999999"])
def test_a_length_that_is_gone_is_told(length, house, owner, party):
    draft = queries.current_draft(party.garments.get(position=1))

    answer = owner.post(reverse("desk:lay-on-lengths", args=[draft.pk]), {"role": "shell", "length": length})

    assert made.told(answer) == [
        "A length that was chosen does not lie free any more; look at the shelf again."
    ]


def test_a_lay_on_two_remnants_and_the_roll_is_shown_with_what_each_gives(house, owner, apprentice, party):
    garment = party.garments.get(position=1)
    draft = queries.current_draft(garment)
    keys = [buy_cloth(cloth=house.satin, length_mm=mm, now=timezone.now()).pk for mm in (900, 1100)]

    row = services.lay_on_lengths(
        draft=draft, role="shell", lengths=[*keys, None], now=timezone.now(), seconds=0.5
    )

    page = owner.get(reverse("desk:garment", args=[garment.pk])).text
    bench = apprentice.get(reverse("bench:cut", args=[garment.pk])).text
    [shell, _] = queries.lays_shown(draft)
    assert [taken.take.name for taken in shell.takes] == ["length of 0.90 m", "length of 1.10 m", "roll"]
    assert shell.buy_mm == shell.takes[2].buy_mm < row.buy_length_mm
    for taken in shell.takes:
        assert ", ".join(taken.take.pieces) in page
        assert f'take <span class="number">{taken.take.need_mm / 10:.1f} cm</span>' in bench
    for shown in (page, bench):
        assert ">length of 1.10 m</text>" in shown
    assert "Cut it from any one length again" in page


def test_a_fixed_way_that_is_longer_says_by_how_much_and_what_that_costs(house, owner, party):
    garment = party.garments.get(position=1)
    lay = queries.current_lays(queries.current_draft(garment))[0]
    lay.inputs = {
        **lay.inputs,
        "way": "folded",
        "fixed": "folded",
        "tried": [
            {"way": "folded", "length_mm": lay.length_mm, "buy_length_mm": lay.buy_length_mm},
            {"way": "open", "length_mm": lay.length_mm - 150, "buy_length_mm": lay.buy_length_mm - 100},
        ],
    }
    lay.save()

    page = owner.get(reverse("desk:garment", args=[garment.pk])).text

    assert "It is laid folded lengthwise because you fixed that." in page
    assert "Laid open, one layer it would take 15.0 cm less of the cloth" in page
    assert "to buy: 0.10 m less, EUR\N{NO-BREAK SPACE}2.40 less." in page


def test_pages_of_lays_are_the_house_s_own(house, next_door, owner, party):
    joint = joined(house, party)
    stranger = made.signed_in(next_door.owner)

    for name, args in (("joint-lay", [joint.pk]), ("lay-apart", [joint.pk])):
        address = reverse(f"desk:{name}", args=args)
        assert (stranger.post if name == "lay-apart" else stranger.get)(address).status_code == 404
    assert stranger.get(reverse("desk:lays")).context["groups"] == []
    assert stranger.post(reverse("desk:lay-together", args=[house.satin.pk])).status_code == 404


def test_a_lay_is_given_out_full_size_to_scale_and_for_a_cutter(house, apprentice, party):
    [shell, _] = queries.current_lays(queries.current_draft(party.garments.get(position=1)))
    page = apprentice.get(reverse("bench:cut", args=[party.garments.get(position=1).pk])).text
    files = {}

    for kind in ("pdf", "svg", "dxf"):
        address = reverse("lay-file", args=[shell.pk, kind])
        assert f'href="{address}"' in page
        answer = apprentice.get(address)
        files[kind] = b"".join(answer.streaming_content)
        assert answer["Content-Disposition"].endswith(f'filename="order 1, shell, lay {shell.pk}.{kind}"')

    with pikepdf.open(BytesIO(files["pdf"])) as pdf:
        [sheet] = pdf.pages
        assert float(sheet.mediabox[3]) * 25.4 / 72 > shell.length_mm
    assert b'class="lay-plan"' in files["svg"]
    assert len(list(ezdxf.read(StringIO(files["dxf"].decode())).modelspace().query("INSERT"))) == len(
        queries.lay_value(shell).placed
    )


def test_a_superseded_lay_and_a_stranger_s_are_not_given_out(house, next_door, owner, party):
    [shell, _] = queries.current_lays(queries.current_draft(party.garments.get(position=1)))
    address = reverse("lay-file", args=[shell.pk, "pdf"])

    assert made.signed_in(next_door.owner).get(address).status_code == 404
    assert owner.get(address.replace("pdf", "exe")).status_code == 404
    joined(house, party)
    assert owner.get(address).status_code == 404
