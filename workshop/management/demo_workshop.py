"""The demo workshop, told: its house with orders at every stage. All of it goes through the services.

Days are counted from today, so that something is always due this week, something late, something waiting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from costing.models import Cloth
from workshop.management import demo_house
from workshop.management.demo_story import STORY, DemoGarment, DemoOrder, DemoWearer
from workshop.orders import queries as order_queries
from workshop.orders import services as orders
from workshop.orders.models import Garment, Order
from workshop.orders.services import GarmentWish
from workshop.people import services as people
from workshop.people.models import Staff, Wearer, Workshop
from workshop.planning import services as planning
from workshop.planning.models import Task
from workshop.planning.queries import open_garments
from workshop.planning.rules.alterations import Change

LAY_SECONDS = 1.0

Say = Callable[[str], None]


def is_loaded() -> bool:
    return Workshop.objects.filter(name=demo_house.NAME).exists()


def load(now: datetime, say: Say) -> Workshop:
    """Build the whole demo workshop. It takes a minute or two: every pattern is drafted, every cloth laid."""
    workshop = demo_house.open_house(now - timedelta(days=60))
    owner = demo_house.hire(workshop, now - timedelta(days=60))
    demo_house.note_machines(workshop, owner, now)
    cloths = demo_house.set_prices(workshop, workshop.day_of(now))
    interfacing = cloths["Fusible cotton, light"]
    orders.mark_cloth_bought(
        workshop=workshop,
        cloth=interfacing,
        length_mm=15_000.0,
        by=owner,
        now=now - timedelta(days=60),
        note="a roll",
    )
    for told in STORY:
        say(f"  {told.client}: {told.occasion}")
        _tell(workshop, owner, cloths, told, now)
    for garment in open_garments(workshop):
        planning.sync_tasks(garment=garment, now=now)
    planning.replan(workshop=workshop, now=now, seconds=5)
    return workshop


def _tell(workshop: Workshop, owner: Staff, cloths: dict[str, Cloth], told: DemoOrder, now: datetime) -> None:
    """One order from its first day to where it stands today."""
    began = _opening(workshop, now - timedelta(days=told.taken_ago))
    client = people.create_client(
        workshop=workshop, name=told.client, email=told.email, phone=told.phone, by=owner, now=began
    )
    wearers: dict[str, Wearer] = {}
    for garment in told.garments:
        wearers[garment.wearer.name] = _wearer(client, garment.wearer, owner, began)
    order = orders.take_order(
        workshop=workshop,
        client=client,
        occasion=told.occasion,
        due_on=workshop.day_of(now) + timedelta(days=told.due_in),
        garments=[_wish(garment, wearers, cloths) for garment in told.garments],
        by=owner,
        now=began,
    )
    if told.quote == "none":
        return
    pairs = list(zip(order.garments.order_by("position"), told.garments, strict=True))
    for row, garment in pairs:
        _measure_and_draft(row, garment.wearer, owner, began)
    _lay_together(order, told.together, began)
    _agree(order, told, cloths, owner, began)
    for row, garment in pairs:
        _walk(row, garment, owner, began, now)


def _lay_together(order: Order, titles: tuple[str, ...], now: datetime) -> None:
    garments = order.garments.filter(title__in=titles).order_by("position")
    drafts = [draft for garment in garments if (draft := order_queries.current_draft(garment)) is not None]
    if drafts:
        cloth = order_queries.current_lays(drafts[0])[0].cloth
        orders.make_joint_lay(cloth=cloth, drafts=drafts, now=now, seconds=2 * LAY_SECONDS)


def _opening(workshop: Workshop, moment: datetime) -> datetime:
    """Ten in the morning of that day, or of the working day before it; never after the moment itself."""
    day = workshop.day_of(moment)
    if day.weekday() > 4:
        day -= timedelta(days=day.weekday() - 4)
    return min(moment, datetime.combine(day, time(10), ZoneInfo(workshop.time_zone)))


def _wearer(client: object, told: DemoWearer, owner: Staff, now: datetime) -> Wearer:
    born_on = None if told.age is None else (now - timedelta(days=round(365.25 * (told.age + 0.4)))).date()
    return people.create_wearer(
        client=client,  # type: ignore[arg-type]  # a Client; the story keeps it short
        name=told.name,
        born_on=born_on,
        is_minor=bool(told.guardian),
        guardian=told.guardian,
        consent_by=told.guardian,
        consent_on=now.date() if told.guardian else None,
        by=owner,
        now=now,
    )


def _wish(told: DemoGarment, wearers: dict[str, Wearer], cloths: dict[str, Cloth]) -> GarmentWish:
    chosen = {"shell": (cloths[told.cloth], ""), "interfacing": (cloths["Fusible cotton, light"], "")}
    if told.lining:
        chosen["lining"] = (cloths[told.lining], "")
    return GarmentWish(
        wearer=wearers[told.wearer.name],
        title=told.title,
        style=told.style,
        choices=told.choices,
        cloths=chosen,
    )


def _measure_and_draft(garment: Garment, told: DemoWearer, owner: Staff, now: datetime) -> None:
    if told.fit:
        wearer = garment.wearer
        people.note_fit(wearer=wearer, expected_version=wearer.version, fit=told.fit, by=owner, now=now)
        garment.refresh_from_db()
    measured = people.record_measurements(
        wearer=garment.wearer,
        unit="cm",
        typed=told.measures,
        taken_by=owner,
        taken_on=garment.workshop.day_of(now),
        confirmed=list(told.measures),
        now=now,
    )
    orders.set_measurements(garment=garment, measurements=measured, by=owner, now=now)
    draft = orders.draft_garment(garment=garment, by=owner, now=now)
    orders.make_lay_plans(draft=draft, now=now, seconds=LAY_SECONDS)
    orders.request_files(draft=draft, by=owner, now=now)
    orders.estimate_garment(garment=garment, now=now)


def _agree(order: Order, told: DemoOrder, cloths: dict[str, Cloth], owner: Staff, now: datetime) -> None:
    quote = orders.prepare_quote(order=order, by=owner, now=now)
    if told.quote == "sent":  # the customer may choose between two cloths
        other = cloths["Silk twill, pearl"]
        garment = order.garments.get(position=1)
        quote = orders.offer_alternative(quote=quote, garment=garment, cloth=other, by=owner, now=now)
    link = orders.send_quote(quote=quote, by=owner, now=now)
    if told.quote != "accepted":
        return
    later = now + timedelta(hours=5)
    orders.accept_quote(link=link, name=told.client, version=quote.version, now=later)
    if told.deposit_paid:
        orders.record_payment(
            order=order,
            amount=order_queries.balance(order).deposit,
            method="transfer",
            received_on=order.workshop.day_of(later),
            by=owner,
            now=later,
        )
    if told.cloth_bought:
        for cloth, length in _lengths(order, cloths):
            orders.mark_cloth_bought(
                workshop=order.workshop,
                cloth=cloth,
                length_mm=length,
                by=owner,
                now=later,
                note="Ellery Cloth Hall",
            )


def _lengths(order: Order, cloths: dict[str, Cloth]) -> list[tuple[Cloth, float]]:
    """What the order's lays take of each cloth."""
    by_pk = {cloth.pk: cloth for cloth in cloths.values()}
    sums: dict[int, float] = {}
    for garment in order.garments.all():
        draft = order_queries.current_draft(garment)
        for lay in order_queries.current_lays(draft) if draft else ():
            sums[lay.cloth_id] = sums.get(lay.cloth_id, 0.0) + lay.buy_length_mm
    return [(by_pk[pk], length) for pk, length in sums.items()]


ONWARD = ("draft", "cut", "sew", "fit", "deliver", "delivered")


def _walk(garment: Garment, told: DemoGarment, owner: Staff, began: datetime, now: datetime) -> None:
    """Move a garment onward to its stage, doing on the way what each move asks for."""
    moment = began + timedelta(days=1)
    for to in ONWARD[1 : ONWARD.index(told.stage) + 1]:
        garment.refresh_from_db()
        if to == "deliver":
            moment = _try_on(garment, told.found, owner, moment)
        _do_what_is_asked(garment, to, owner, moment)
        moment = min(moment + timedelta(days=1), now)
        orders.move_garment(garment=garment, to=to, by=owner, now=moment)


def _try_on(garment: Garment, found: Sequence[Change], owner: Staff, moment: datetime) -> datetime:
    """Hold the fitting; where it found something, see to it and hold another. Returns when it fits."""
    if found:
        notes = "Sits well at the neck, loose at the shoulder."
        moment = _hold(garment, owner, moment, outcome="alteration", notes=notes, found=found)
        moment = _work(garment.tasks.filter(done_at=None, group="alter"), owner, moment)
        garment.refresh_from_db()
        orders.move_garment(garment=garment, to="fit", by=owner, now=moment)
        moment += timedelta(days=1)
    return _hold(garment, owner, moment, outcome="fits", notes="Sits well at the shoulder.")


def _hold(
    garment: Garment,
    owner: Staff,
    moment: datetime,
    *,
    outcome: str,
    notes: str,
    found: Sequence[Change] = (),
) -> datetime:
    """Book a fitting and hold it; return when it is over."""
    fitting = planning.book_fitting(
        garment=garment, starts_at=moment + timedelta(minutes=1), now=moment, by=owner, fitter=owner
    )
    planning.hold_fitting(
        fitting=fitting, outcome=outcome, notes=notes, changes=found, by=owner, now=fitting.ends_at
    )
    garment.refresh_from_db()
    return fitting.ends_at


def _do_what_is_asked(garment: Garment, to: str, owner: Staff, moment: datetime) -> None:
    draft = order_queries.current_draft(garment)
    if to == "sew" and draft is not None:
        for line in order_queries.cutting_lines(draft):
            orders.tick_cutting_line(line=line, by=owner, now=moment)
    if to == "fit":
        _finish(garment, owner, moment, after_fitting=False)
    if to == "delivered":
        _finish(garment, owner, moment, after_fitting=True)
        orders.issue_invoice(order=garment.order, kind="final", by=owner, now=moment)
        orders.record_payment(
            order=garment.order,
            amount=order_queries.balance(garment.order).due,
            method="card",
            received_on=garment.workshop.day_of(moment),
            by=owner,
            now=moment,
        )


def _finish(garment: Garment, owner: Staff, moment: datetime, *, after_fitting: bool) -> None:
    """Do the garment's tasks of one half, with the timer running as long as they were planned to take."""
    planning.sync_tasks(garment=garment, now=moment)
    left = garment.tasks.filter(done_at=None).order_by("position")
    due = [task for task in left if task.after_fitting == after_fitting or task.group == "cut"]
    _work(due, owner, moment)


def _work(tasks: Iterable[Task], owner: Staff, moment: datetime) -> datetime:
    """Do the tasks one after the other with the timer running; return when the last is done."""
    for task in tasks:
        planning.start_task(task=task, staff=owner, now=moment)
        moment += timedelta(minutes=task.minutes_planned)
        planning.stop_task(task=task, staff=owner, now=moment, done=True)
    return moment
