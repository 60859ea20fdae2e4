"""The workshop, those who work in it, those it sews for, and the log of who did what."""

from __future__ import annotations

import zoneinfo
from datetime import date, datetime
from typing import Any, ClassVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q


def check_time_zone(name: str) -> None:
    """Raises: ValidationError for a name that is not in the tz database."""
    if name not in zoneinfo.available_timezones():
        raise ValidationError(f"{name} is not a time zone; write it like Europe/Lisbon")


class LengthUnit(models.TextChoices):
    INCH = "in", "inches"
    CENTIMETRE = "cm", "centimetres"
    MILLIMETRE = "mm", "millimetres"


class Workshop(models.Model):
    """A tenant: every other row belongs to one workshop and no query crosses over."""

    name = models.CharField(max_length=120)
    address = models.TextField(blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    tax_number = models.CharField(max_length=40, blank=True)
    vat_number = models.CharField(max_length=20, blank=True)  # with its country's letters; for e-invoices
    tax_exemption = models.CharField(max_length=200, blank=True)  # why no tax is charged, where none is
    e_invoices = models.BooleanField(default=False)  # EN 16931 XML inside invoices and credit notes
    pay_to = models.TextField(blank=True)  # the account that invoices name
    currency = models.CharField(max_length=3, default="EUR")
    language = models.CharField(max_length=10, default="en")  # of papers, letters and pages for customers
    length_unit = models.CharField(max_length=2, choices=LengthUnit, default=LengthUnit.CENTIMETRE)
    time_zone = models.CharField(max_length=64, default="UTC", validators=[check_time_zone])
    tax_label = models.CharField(max_length=40, default="VAT")
    tax_rate = models.DecimalField(max_digits=5, decimal_places=2, default=0)  # percent; see also TaxRate
    deposit_share = models.DecimalField(max_digits=5, decimal_places=2, default=50)  # % of gross
    deposit_before_cutting = models.BooleanField(default=True)
    quote_valid_days = models.PositiveSmallIntegerField(default=21)
    quote_terms = models.TextField(blank=True)
    fitting_minutes = models.PositiveSmallIntegerField(default=45)
    fitting_notice_hours = models.PositiveSmallIntegerField(default=24)  # later than this the customer calls
    remind_days_before = models.PositiveSmallIntegerField(default=2)  # of a fitting, by letter; 0 = never
    days_to_come = models.PositiveSmallIntegerField(default=5)  # what is ordered, as a rule
    country = models.CharField(max_length=2, blank=True)  # ISO 3166-1, for its public holidays
    region = models.CharField(max_length=40, blank=True)  # the part of it, ISO 3166-2 without the country
    erase_when_due = models.BooleanField(default=False)  # wearers whose day is past, without being asked
    version = models.PositiveIntegerField(default=1)  # raised by each edit, so that a second editor is told
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(tax_rate__gte=0, tax_rate__lt=100), name="workshop_tax_rate"),
            models.CheckConstraint(
                condition=Q(deposit_share__gte=0, deposit_share__lte=100), name="workshop_deposit_share"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> zoneinfo.ZoneInfo:
        return zoneinfo.ZoneInfo(self.time_zone)

    def day_of(self, moment: datetime) -> date:
        """The day that it is in the workshop at that moment."""
        return moment.astimezone(self.zone).date()


class TaxRate(models.Model):
    """A rate beside the workshop's usual one: what is taxed otherwise, such as children's clothes.

    A garment may name it. It is never changed: another percentage is another rate, and what names the old one
    keeps it.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="tax_rates")
    name = models.CharField(max_length=40)
    percent = models.DecimalField(max_digits=5, decimal_places=2)
    zero_rated = models.BooleanField(default=False)  # taxed at 0 %, which is not exempt
    archived_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(percent__gte=0, percent__lt=100), name="tax_rate_percent"),
            models.CheckConstraint(condition=Q(zero_rated=False) | Q(percent=0), name="tax_rate_zero"),
            models.UniqueConstraint(
                fields=["workshop", "name"], condition=Q(archived_at=None), name="tax_rate_name_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.percent.normalize():f} %{' (zero rated)' if self.zero_rated else ''}"


class OpeningHours(models.Model):
    """One span of one weekday (0 = Monday) on which the workshop is open."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="opening_hours")
    weekday = models.PositiveSmallIntegerField()
    opens_at = models.TimeField()
    closes_at = models.TimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(weekday__lte=6), name="opening_hours_weekday"),
            models.CheckConstraint(condition=Q(opens_at__lt=F("closes_at")), name="opening_hours_span"),
            models.UniqueConstraint(fields=["workshop", "weekday", "opens_at"], name="opening_hours_once"),
        ]

    def __str__(self) -> str:
        return f"{self.weekday} {self.opens_at:%H:%M} to {self.closes_at:%H:%M}"


class Role(models.TextChoices):
    OWNER = "owner", "owner"
    APPRENTICE = "apprentice", "apprentice"


class Staff(models.Model):
    """A user in a workshop."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="staff")
    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.PROTECT, related_name="staff")
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=10, choices=Role)
    skills = models.JSONField(default=list)  # groups of operations: cut, prepare, sew, press, finish, fit
    hourly_wage = models.DecimalField(max_digits=10, decimal_places=3, default=0)
    speed = models.DecimalField(max_digits=4, decimal_places=2, default=1)  # 1 = standard, 0.5 = half as fast
    weekly_minutes = models.PositiveIntegerField(default=2400)  # no working week: a share of each opening
    # own times by people.rules.working_week: [weekday (0 = Monday), "09:00", "13:00"], ...; empty: none
    working_week = models.JSONField(default=list, blank=True)
    active = models.BooleanField(default=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name_plural = "staff"
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(speed__gt=0), name="staff_speed_positive"),
            models.CheckConstraint(condition=Q(hourly_wage__gte=0), name="staff_wage_not_negative"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER


class Client(models.Model):
    """Who orders and pays."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="clients")
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    country = models.CharField(max_length=2, blank=True)  # ISO 3166-1; empty: the workshop's
    note = models.TextField(blank=True)
    reminded = models.BooleanField(default=True)  # of fittings; the client may not want it
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


def initials(name: str) -> str:
    """``Marta van Quist`` -> ``MVQ``; three letters at most."""
    return "".join(word[0] for word in name.split())[:3].upper()


class Wearer(models.Model):
    """Who is measured. A minor has a guardian, who consents to the measurements being kept."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="wearers")
    client = models.ForeignKey(Client, models.CASCADE, related_name="wearers")
    name = models.CharField(max_length=120)
    born_on = models.DateField(null=True, blank=True)
    is_minor = models.BooleanField(default=False)
    guardian = models.CharField(max_length=120, blank=True)
    consent_by = models.CharField(max_length=120, blank=True)
    consent_on = models.DateField(null=True, blank=True)
    photo_consent_by = models.CharField(max_length=120, blank=True)  # asked apart from the measurements
    photo_consent_on = models.DateField(null=True, blank=True)
    keep_until_on = models.DateField(null=True, blank=True)  # measurements are erased after this day
    erased_at = models.DateTimeField(null=True, blank=True)
    fit_notes = models.TextField(blank=True)
    fit = models.JSONField(default=dict, blank=True)  # drafting.body.FIT_NOTES: name -> mm or degrees
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(is_minor=False) | ~Q(guardian=""), name="wearer_minor_has_guardian"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def initials(self) -> str:
        return initials(self.name)


class MeasurementSet(models.Model):
    """Immutable: what was measured on a day, in mm, with the text as it was typed.

    ``values``: name -> mm as given. ``typed``: name -> text. ``confirmed``: the questions that the measurer
    was asked and answered with yes.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="measurement_sets")
    wearer = models.ForeignKey(Wearer, models.CASCADE, related_name="measurement_sets")
    taken_on = models.DateField()
    taken_by = models.ForeignKey(Staff, models.PROTECT, null=True, related_name="+")
    unit = models.CharField(max_length=2, choices=LengthUnit)
    values = models.JSONField()
    typed = models.JSONField(default=dict)
    confirmed = models.JSONField(default=list)
    created_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.wearer_id} on {self.taken_on}"


class HouseRules(models.Model):
    """The workshop's own draft rules: a new row for each change, the newest one holds."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="house_rules")
    version = models.PositiveIntegerField()
    values = models.JSONField(default=dict)  # rule name -> value where it differs from the default
    created_by = models.ForeignKey(Staff, models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "house rules"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "version"], name="house_rules_version_once"),
        ]

    def __str__(self) -> str:
        return f"house rules {self.version}"


class Submission(models.Model):
    """A form or a button that was sent, known by its mark: what is sent twice is done once."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="submissions")
    mark = models.UUIDField()
    led_to = models.CharField(max_length=200)  # the address, or the number, of what it made
    sent_at = models.DateTimeField(db_index=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "mark"], name="submission_once"),
        ]

    def __str__(self) -> str:
        return f"{self.mark} led to {self.led_to}"


class LogIsAppendOnly(RuntimeError):
    """Code tried to change or delete what the log says: a fault of the code, never of a person."""


class LogQuerySet(models.QuerySet["LogEntry"]):
    """Reads and adds only."""

    def update(self, **values: object) -> int:
        raise LogIsAppendOnly("an entry of the log is never changed")

    def bulk_update(self, *args: object, **options: object) -> int:
        raise LogIsAppendOnly("an entry of the log is never changed")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise LogIsAppendOnly("an entry of the log is never deleted")


class LogEntry(models.Model):
    """Append-only: who did what to which row, when, before and after. Staff is None for the customer.

    It goes only with its whole workshop, by the cascade of deleting it.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="log")
    at = models.DateTimeField()
    staff = models.ForeignKey(Staff, models.PROTECT, null=True, related_name="+")
    actor = models.CharField(max_length=120)  # a name in words, which outlives the row
    action = models.CharField(max_length=60)
    row_kind = models.CharField(max_length=40)
    row_id = models.BigIntegerField()
    order_id = models.BigIntegerField(null=True, db_index=True)
    summary = models.CharField(max_length=300)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    objects = LogQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "log entries"
        indexes: ClassVar = [models.Index(fields=["workshop", "at"], name="log_by_time")]

    def __str__(self) -> str:
        return self.summary

    def save(self, **options: Any) -> None:
        """Raises: LogIsAppendOnly for an entry that is stored already."""
        if not self._state.adding:
            raise LogIsAppendOnly("an entry of the log is never changed")
        super().save(**options)

    def delete(self, using: Any = None, keep_parents: bool = False) -> tuple[int, dict[str, int]]:
        """Raises: LogIsAppendOnly."""
        raise LogIsAppendOnly("an entry of the log is never deleted")
