"""The price list, the stock, and the papers: estimates, quotes, invoices, payments.

Money is Decimal in the workshop's currency. What was sent or issued carries a full copy of what it says
(``content``) and is never changed afterwards.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

WORKSHOP = "people.Workshop"
ORDER = "orders.Order"
GARMENT = "orders.Garment"


def _money(**options: object) -> models.DecimalField[Any, Any]:
    return models.DecimalField(max_digits=14, decimal_places=3, **options)  # type: ignore[arg-type]  # passed on


def _adds_up() -> Q:
    """Net + tax = gross.

    SQLite reckons in floating point, so that a plain equality would refuse 0.10 + 0.20.
    """
    near = Decimal("0.0005")
    return Q(gross__gt=F("net") + F("tax") - near, gross__lt=F("net") + F("tax") + near)


class Cloth(models.Model):
    """A cloth of the price list: shell cloth, lining or interfacing, sold by length."""

    class Use(models.TextChoices):
        SHELL = "shell", "shell"
        LINING = "lining", "lining"
        INTERFACING = "interfacing", "interfacing"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="cloths")
    use = models.CharField(max_length=12, choices=Use)
    name = models.CharField(max_length=120)
    composition = models.CharField(max_length=120, blank=True)
    supplier = models.CharField(max_length=120, blank=True)
    width_mm = models.FloatField()
    selvedge_mm = models.FloatField(default=10)
    one_way = models.BooleanField(default=False)
    shrinkage_length = models.FloatField(default=0)  # share of the length, 0.03 = 3 %
    shrinkage_width = models.FloatField(default=0)
    repeat_length_mm = models.FloatField(default=0)
    repeat_width_mm = models.FloatField(default=0)
    price_per_metre = _money()
    sold_by_mm = models.FloatField(default=100)  # the seller cuts multiples of this
    priced_on = models.DateField()
    # From the order until it is here, in days of the calendar; None = as the workshop's usually take.
    days_to_come = models.PositiveSmallIntegerField(null=True, blank=True)
    right_side = models.CharField(max_length=120, blank=True)  # how it is told from the wrong one
    care_wash = models.CharField(max_length=12, blank=True)  # codes of rules.care; empty = not known
    care_bleach = models.CharField(max_length=12, blank=True)
    care_dry = models.CharField(max_length=12, blank=True)
    care_iron = models.CharField(max_length=12, blank=True)
    care_professional = models.CharField(max_length=12, blank=True)
    swatch = models.FileField(upload_to="swatches/", blank=True)  # an image that services.swatches wrote
    version = models.PositiveIntegerField(default=1)
    archived_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "cloths"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "name"], name="cloth_name_once"),
            models.CheckConstraint(
                condition=Q(width_mm__gt=0, sold_by_mm__gt=0, price_per_metre__gte=0, selvedge_mm__gte=0),
                name="cloth_measures",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Notion(models.Model):
    """Bought by the piece or the reel. ``size_mm``: length of a zip, of a reel; diameter of a button."""

    class Kind(models.TextChoices):
        THREAD = "thread", "thread"
        ZIP = "zip", "zip"
        BUTTON = "button", "button"
        HOOK = "hook", "hook and eye"
        TAPE = "tape", "tape"
        ELASTIC = "elastic", "elastic"
        OTHER = "other", "other"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="notions")
    kind = models.CharField(max_length=8, choices=Kind)
    name = models.CharField(max_length=120)
    size_mm = models.FloatField(null=True, blank=True)
    supplier = models.CharField(max_length=120, blank=True)
    price_each = _money()
    days_to_come = models.PositiveSmallIntegerField(null=True, blank=True)  # as a cloth's
    priced_on = models.DateField()
    version = models.PositiveIntegerField(default=1)
    archived_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "name"], name="notion_name_once"),
            models.CheckConstraint(condition=Q(price_each__gte=0), name="notion_price"),
        ]

    def __str__(self) -> str:
        return self.name


class Rates(models.Model):
    """What an hour costs and what a price must earn; one row a workshop. Percents are 0 to 100."""

    workshop = models.OneToOneField(WORKSHOP, models.CASCADE, related_name="rates")
    hourly_wage = _money()
    # Overhead of a month, carried by the hours worked in it.
    rent_per_month = _money(default=0)
    power_per_month = _money(default=0)
    fuel_per_month = _money(default=0)
    wear_per_month = _money(default=0)  # of machines: repair, and what is laid by for the next one
    other_per_month = _money(default=0)
    hours_per_month = models.DecimalField(max_digits=7, decimal_places=2)
    profit_percent = models.DecimalField(max_digits=6, decimal_places=2, default=15)
    profit_is_markup = models.BooleanField(default=False)  # on cost; else a margin, of the price before tax
    minimum_price = _money(default=0)
    round_to = _money(default=1)  # a friendly price is a multiple of this, rounded up
    rush_percent = models.DecimalField(max_digits=5, decimal_places=2, default=25)  # what a rush usually adds
    work_allowance = models.DecimalField(max_digits=5, decimal_places=2, default=15)  # percent of normal time
    thread_waste = models.DecimalField(max_digits=5, decimal_places=2, default=15)  # percent
    # Each doubling of a quantity of garments alike takes their average time to this percent of it.
    repeat_percent = models.DecimalField(max_digits=5, decimal_places=2, default=95)
    prices_on_learnt = models.BooleanField(default=False)  # minutes as timed work corrects them
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name_plural = "rates"
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(
                    hourly_wage__gte=0,
                    rent_per_month__gte=0,
                    power_per_month__gte=0,
                    fuel_per_month__gte=0,
                    wear_per_month__gte=0,
                    other_per_month__gte=0,
                    hours_per_month__gt=0,
                    profit_percent__gte=0,
                    round_to__gt=0,
                    minimum_price__gte=0,
                    rush_percent__gte=0,
                    repeat_percent__gte=50,
                    repeat_percent__lte=100,
                )
                & (Q(profit_percent__lt=100) | Q(profit_is_markup=True)),
                name="rates_sensible",
            ),
        ]

    def __str__(self) -> str:
        return f"rates of workshop {self.workshop_id}"

    @property
    def overhead(self) -> dict[str, Decimal]:
        """The month's costs that its hours carry, by what they are."""
        return {
            "rent": self.rent_per_month,
            "power": self.power_per_month,
            "fuel": self.fuel_per_month,
            "wear of machines": self.wear_per_month,
            "all else": self.other_per_month,
        }


class LearntPace(models.Model):
    """What timed work makes of the standard minutes, by kind of operation: what a price may rest on.

    Kept by planning, which times the work; read by whoever prices it. ``content``: kind of operation ->
    [mean, variance, count] (``costing.rules.learning.Correction``).
    """

    workshop = models.OneToOneField(WORKSHOP, models.CASCADE, related_name="learnt_pace")
    content = models.JSONField()
    tasks = models.PositiveIntegerField()
    learnt_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"pace learnt from {self.tasks} tasks"


class StockMove(models.Model):
    """A length of cloth (mm) or a count of notions that came, was set aside, was used, or went.

    ``amount`` is positive; the kind says which way it counts. Reserved cloth is still on the shelf and
    cannot be promised again. A length is known by the move with which it came; ``taken_from`` names it.
    """

    class Kind(models.TextChoices):
        BOUGHT = "bought", "bought"
        RESERVED = "reserved", "reserved"
        RELEASED = "released", "released"
        CUT = "cut", "cut"
        RETURNED = "returned", "returned"
        WASTED = "wasted", "wasted"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="stock_moves")
    cloth = models.ForeignKey(Cloth, models.PROTECT, null=True, blank=True, related_name="moves")
    notion = models.ForeignKey(Notion, models.PROTECT, null=True, blank=True, related_name="moves")
    kind = models.CharField(max_length=8, choices=Kind)
    amount = models.FloatField()
    taken_from = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="taken")
    garment = models.ForeignKey(GARMENT, models.SET_NULL, null=True, blank=True, related_name="stock_moves")
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(cloth__isnull=False, notion__isnull=True)
                | Q(cloth__isnull=True, notion__isnull=False),
                name="stock_move_of_one_thing",
            ),
            models.CheckConstraint(condition=Q(amount__gt=0), name="stock_move_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.amount:g}"


class Flaw(models.Model):
    """A round spot of a length that nothing may be cut from, mm.

    ``at_mm``: its middle from where the length began when it came. ``across_mm``: from the edge of the cloth
    on the left, right side up and the beginning towards you. ``size_mm``: its diameter.
    """

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="flaws")
    length = models.ForeignKey(StockMove, models.CASCADE, related_name="flaws")
    at_mm = models.FloatField()
    across_mm = models.FloatField()
    size_mm = models.FloatField()
    note = models.CharField(max_length=200, blank=True)
    noted_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(at_mm__gte=0, across_mm__gte=0, size_mm__gt=0), name="flaw_measures"
            ),
        ]

    def __str__(self) -> str:
        return f"flaw at {self.at_mm:g} mm"


class Estimate(models.Model):
    """What a garment is reckoned to cost. ``content`` holds the lines with where each comes from."""

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="estimates")
    garment = models.ForeignKey(GARMENT, models.CASCADE, related_name="estimates")
    rule_version = models.CharField(max_length=20)
    inputs = models.JSONField()
    content = models.JSONField()
    minutes = models.PositiveIntegerField()
    net = _money()
    superseded_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["garment"], condition=Q(superseded_at__isnull=True), name="one_estimate_holds"
            ),
        ]

    def __str__(self) -> str:
        return f"estimate of garment {self.garment_id}"


class QuoteState(models.TextChoices):
    OPEN = "open", "not sent"
    SENT = "sent", "sent"
    ACCEPTED = "accepted", "accepted"
    DECLINED = "declined", "declined"
    SUPERSEDED = "superseded", "replaced by a new version"
    WITHDRAWN = "withdrawn", "withdrawn"


class Quote(models.Model):
    """A version of a price for an order. Frozen when sent: later changes make a new version.

    One version at most is out (sent or accepted) and one at most is being written beside it; sending that one
    supersedes the other.
    """

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="quotes")
    order = models.ForeignKey(ORDER, models.CASCADE, related_name="quotes")
    version = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=QuoteState, default=QuoteState.OPEN)
    currency = models.CharField(max_length=3)
    content = models.JSONField()  # seller, buyer, garments with drawing and lines, terms, tax groups
    net = _money()
    tax = _money()
    gross = _money()
    rounding = _money(default=0)  # what the agreed price differs from gross; at most a few minor units
    deposit = _money()
    valid_until_on = models.DateField()
    sent_at = models.DateTimeField(null=True, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=120, blank=True)  # the name that the customer typed
    accepted_text = models.TextField(blank=True)
    decline_reason = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "version"], name="quote_version_once"),
            models.UniqueConstraint(
                fields=["order"],
                condition=Q(state__in=["sent", "accepted"]),
                name="one_quote_holds",
            ),
            models.UniqueConstraint(fields=["order"], condition=Q(state="open"), name="one_quote_is_written"),
            models.CheckConstraint(condition=_adds_up(), name="quote_adds_up"),
        ]

    def __str__(self) -> str:
        return f"quote {self.version} of order {self.order_id}"

    @property
    def payable(self) -> Decimal:
        """The price that the customer sees and pays."""
        amount: Decimal = self.gross + self.rounding
        return amount

    def has_expired(self, today: date) -> bool:
        """Whether it was sent and its last day is past: nobody can accept it any more."""
        return self.state == QuoteState.SENT and self.valid_until_on < today


class NumberSeries(models.Model):
    """The last number given out in a workshop and year; its row is locked while the next is taken."""

    class Kind(models.TextChoices):
        INVOICE = "invoice", "invoice"
        CREDIT_NOTE = "credit-note", "credit note"
        RECEIPT = "receipt", "receipt"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="number_series")
    kind = models.CharField(max_length=12, choices=Kind)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "number series"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "kind", "year"], name="number_series_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.year}: {self.last}"


class Invoice(models.Model):
    """An issued invoice: numbered without gaps, never changed."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "deposit"
        FINAL = "final", "final"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="invoices")
    order = models.ForeignKey(ORDER, models.PROTECT, related_name="invoices")
    kind = models.CharField(max_length=8, choices=Kind)
    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    currency = models.CharField(max_length=3)
    issued_on = models.DateField()
    due_on = models.DateField()
    content = models.JSONField()
    net = _money()
    tax = _money()
    gross = _money()
    rounding = _money(default=0)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "year", "number"], name="invoice_number_once"),
            models.CheckConstraint(condition=_adds_up(), name="invoice_adds_up"),
        ]

    def __str__(self) -> str:
        return f"invoice {self.year}-{self.number:04d}"

    @property
    def payable(self) -> Decimal:
        """What the invoice asks for: gross with the agreed rounding."""
        amount: Decimal = self.gross + self.rounding
        return amount

    @property
    def paid_before(self) -> Decimal:
        """What had been paid on account when it was issued: the paper takes it off what it asks for."""
        return Decimal(self.content.get("paid_before", "0"))


class CreditNote(models.Model):
    """Takes back all or part of an invoice, with a number of its own.

    ``lowers``: the quote whose agreed price is lowered by it; empty where the amount is asked for again.
    """

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="credit_notes")
    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="credit_notes")
    lowers = models.ForeignKey(Quote, models.PROTECT, null=True, blank=True, related_name="lowered_by")
    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    issued_on = models.DateField()
    reason = models.CharField(max_length=300)
    content = models.JSONField()
    net = _money()
    tax = _money()
    gross = _money()
    rounding = _money(default=0)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "year", "number"], name="credit_note_number_once"),
            models.CheckConstraint(condition=_adds_up(), name="credit_note_adds_up"),
        ]

    def __str__(self) -> str:
        return f"credit note {self.year}-{self.number:04d}"

    @property
    def payable(self) -> Decimal:
        """What the note takes off the invoice."""
        amount: Decimal = self.gross + self.rounding
        return amount


class Payment(models.Model):
    """Money that came in, or went back (``refund``), then for a credit note where there is one."""

    class Method(models.TextChoices):
        CASH = "cash", "cash"
        TRANSFER = "transfer", "bank transfer"
        CARD = "card", "card"

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="payments")
    order = models.ForeignKey(ORDER, models.PROTECT, related_name="payments")
    refund = models.BooleanField(default=False)
    credit_note = models.ForeignKey(CreditNote, models.PROTECT, null=True, blank=True, related_name="refunds")
    method = models.CharField(max_length=8, choices=Method)
    amount = _money()
    received_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="payment_positive"),
            models.CheckConstraint(
                condition=Q(credit_note__isnull=True) | Q(refund=True),
                name="payment_of_credit_note_goes_back",
            ),
        ]

    def __str__(self) -> str:
        return f"{'refund' if self.refund else 'payment'} of {self.amount}"


class Receipt(models.Model):
    """The paper for a payment."""

    workshop = models.ForeignKey(WORKSHOP, models.CASCADE, related_name="receipts")
    payment = models.OneToOneField(Payment, models.PROTECT, related_name="receipt")
    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    issued_on = models.DateField()
    content = models.JSONField()
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "year", "number"], name="receipt_number_once"),
        ]

    def __str__(self) -> str:
        return f"receipt {self.year}-{self.number:04d}"
