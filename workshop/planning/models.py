"""What is to be done by whom and when: tasks, time spent, fittings, closed days."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.rules.joining import waits_for_fitting
from workshop.planning.rules.photographs import folder_of


class TaskGroup(models.TextChoices):
    """The kinds of work; a staff member's skills are a list of these."""

    CUT = "cut", "cut"
    PREPARE = "prepare", "prepare"
    SEW = "sew", "sew"
    PRESS = "press", "press"
    FINISH = "finish", "finish"
    ALTER = "alter", "alter"


class Task(models.Model):
    """A stretch of work on one garment: operations of one group, in their order."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="tasks")
    garment = models.ForeignKey(Garment, models.CASCADE, related_name="tasks")
    position = models.PositiveSmallIntegerField()  # the order in which a garment's tasks are done
    group = models.CharField(max_length=10, choices=TaskGroup)
    title = models.CharField(max_length=160)
    operations = models.JSONField(default=list)  # [{"name", "minutes", "why"}] as the labour rules gave them
    minutes_planned = models.PositiveIntegerField()
    pinned = models.BooleanField(default=False)  # the owner chose who and when: a replan leaves it
    staff = models.ForeignKey(Staff, models.SET_NULL, null=True, blank=True, related_name="tasks")
    planned_start_at = models.DateTimeField(null=True, blank=True)
    planned_end_at = models.DateTimeField(null=True, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["garment", "position"], name="task_position_once"),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def after_fitting(self) -> bool:
        """Whether it waits until the garment was tried on."""
        return waits_for_fitting(self.position)


class Machine(models.Model):
    """What is scarce beside people: ``count`` of a kind; a task of ``groups`` holds one while it lasts."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="machines")
    name = models.CharField(max_length=60)
    count = models.PositiveSmallIntegerField(default=1)
    groups = models.JSONField(default=list)  # values of TaskGroup
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "name"], name="machine_once"),
            models.CheckConstraint(condition=Q(count__gte=1), name="machine_count"),
        ]

    def __str__(self) -> str:
        return self.name


class LateRisk(models.Model):
    """How often a garment was late when the present plan was simulated."""

    garment = models.OneToOneField(Garment, models.CASCADE, related_name="late_risk")
    percent = models.PositiveSmallIntegerField()
    turned_on = models.DateField(null=True, blank=True)  # the day on which it came to be worth a warning
    reckoned_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(percent__lte=100), name="late_risk_percent"),
        ]

    def __str__(self) -> str:
        return f"garment {self.garment_id} late in {self.percent} of 100"


class TimeEntry(models.Model):
    """Time that someone spent on a task; open while ``ended_at`` is None."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="time_entries")
    task = models.ForeignKey(Task, models.CASCADE, related_name="time_entries")
    staff = models.ForeignKey(Staff, models.PROTECT, related_name="time_entries")
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "time entries"
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["staff"], condition=Q(ended_at__isnull=True), name="one_timer_a_person"
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("started_at")), name="time_entry_span"
            ),
        ]

    def __str__(self) -> str:
        return f"task {self.task_id} from {self.started_at:%Y-%m-%d %H:%M}"


class FittingOutcome(models.TextChoices):
    FITS = "fits", "fits"
    ALTERATION = "alteration", "to be altered"
    RECUT = "recut", "a piece to be cut again"
    REMEASURE = "remeasure", "the body has changed"


class Fitting(models.Model):
    """The wearer tries the garment on."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="fittings")
    garment = models.ForeignKey(Garment, models.CASCADE, related_name="fittings")
    fitter = models.ForeignKey(Staff, models.PROTECT, related_name="fittings")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    sequence = models.PositiveIntegerField(default=0)  # raised by each move, for calendar files
    chosen_by_customer = models.BooleanField(default=False)
    cancelled_at = models.DateTimeField(null=True, blank=True)
    held_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=12, choices=FittingOutcome, blank=True)
    notes = models.TextField(blank=True)
    signed_by = models.CharField(max_length=120, blank=True)  # whose word it is, written when it was held
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(starts_at__lt=F("ends_at")), name="fitting_span"),
            # Two starts at one time are refused by any database; overlaps by the lock that writers share.
            models.UniqueConstraint(
                fields=["fitter", "starts_at"],
                condition=Q(cancelled_at__isnull=True),
                name="one_fitting_a_start",
            ),
        ]

    def __str__(self) -> str:
        return f"fitting of garment {self.garment_id} at {self.starts_at:%Y-%m-%d %H:%M}"


class FittingChange(models.Model):
    """What a fitting found at one place: how much, on which side, and the task that sees to it.

    ``amount_mm`` is None where it was said in words only; ``typed`` is the amount as it was written.
    """

    fitting = models.ForeignKey(Fitting, models.CASCADE, related_name="changes")
    position = models.PositiveSmallIntegerField()
    place = models.CharField(max_length=30, blank=True)  # rules.alterations.PLACES; empty: in words only
    way = models.CharField(max_length=12, blank=True)
    side = models.CharField(max_length=5, blank=True)  # left, right, both, or empty where there is but one
    amount_mm = models.FloatField(null=True, blank=True)
    typed = models.CharField(max_length=40, blank=True)
    words = models.CharField(max_length=160)
    fit_note = models.CharField(max_length=160, blank=True)  # what it taught of the figure, in words
    task = models.ForeignKey(Task, models.SET_NULL, null=True, blank=True, related_name="+")

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["fitting", "position"], name="fitting_change_position_once"),
            models.CheckConstraint(
                condition=Q(amount_mm__isnull=True) | Q(amount_mm__gt=0), name="fitting_change_amount"
            ),
        ]

    def __str__(self) -> str:
        return self.words


def photo_path(photo: FittingPhoto, filename: str) -> str:
    """Where the file of a photograph lies: in the folder of its workshop, by month."""
    return f"{folder_of(photo.workshop_id)}/{photo.created_at:%Y/%m}/{filename}"


class FittingPhoto(models.Model):
    """A photograph of a fitting, taken with consent: encoded anew without what the camera added.

    It is erased after ``keep_until_on``, with the wearer's data, or when the consent is taken back.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="fitting_photos")
    fitting = models.ForeignKey(Fitting, models.CASCADE, related_name="photos")
    file = models.FileField(upload_to=photo_path)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size_bytes = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    keep_until_on = models.DateField()
    taken_by = models.ForeignKey(Staff, models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["fitting", "sha256"], name="fitting_photo_once"),
        ]
        indexes: ClassVar = [models.Index(fields=["keep_until_on"], name="fitting_photo_by_day")]

    def __str__(self) -> str:
        return f"photograph of fitting {self.fitting_id}"


class CalendarFeed(models.Model):
    """The address under which somebody's calendar program fetches their work; its secret alone opens it."""

    staff = models.ForeignKey(Staff, models.CASCADE, related_name="calendar_feeds")
    secret = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["staff"], condition=Q(withdrawn_at__isnull=True), name="one_calendar_feed_a_person"
            ),
        ]

    def __str__(self) -> str:
        return f"calendar feed of {self.staff_id}"


class Closure(models.Model):
    """Days on which the whole workshop is closed, or one person is away (both days included)."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="closures")
    staff = models.ForeignKey(Staff, models.CASCADE, null=True, blank=True, related_name="absences")
    from_on = models.DateField()
    to_on = models.DateField()
    reason = models.CharField(max_length=120, blank=True)
    public_holiday = models.BooleanField(default=False)  # ticked in the list of a year's public holidays

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(from_on__lte=F("to_on")), name="closure_span"),
            # Two owners who tick the list at once make one closed day of it.
            models.UniqueConstraint(
                fields=["workshop", "from_on"],
                condition=Q(public_holiday=True),
                name="public_holiday_closed_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reason or 'closed'} from {self.from_on} to {self.to_on}"
