"""Orders, their garments, and what was computed for each garment."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from workshop.jobs.models import Document
from workshop.orders.rules.lettering import letter
from workshop.people.models import Client, MeasurementSet, Staff, TaxRate, Wearer, Workshop


class Stage(models.TextChoices):
    """The six stages of a garment, and the end."""

    MEASURE = "measure", "measure"
    DRAFT = "draft", "draft"
    CUT = "cut", "cut"
    SEW = "sew", "sew"
    FIT = "fit", "fit"
    DELIVER = "deliver", "deliver"
    DELIVERED = "delivered", "delivered"


class Order(models.Model):
    """The commercial unit: a client, an occasion, a day that cannot move."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="orders")
    number = models.PositiveIntegerField()
    client = models.ForeignKey(Client, models.PROTECT, related_name="orders")
    occasion = models.CharField(max_length=120, blank=True)
    due_on = models.DateField()
    note = models.TextField(blank=True)
    # What its prices carry for a date that pushes others aside, and what is taken off them then.
    rush_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    discount_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    version = models.PositiveIntegerField(default=1)  # raised by each edit, so that a second editor is told
    created_at = models.DateTimeField()
    cancelled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["workshop", "number"], name="order_number_once"),
            models.CheckConstraint(
                condition=Q(rush_percent__range=(0, 100), discount_percent__range=(0, 100)),
                name="order_rush_and_discount",
            ),
        ]

    def __str__(self) -> str:
        return f"order {self.number}"


class PrivateLink(models.Model):
    """The address that the customer opens; its secret is all that is asked of them.

    The secret is kept as it is, so that the owner can read the address out or send the letter again.
    """

    order = models.ForeignKey(Order, models.CASCADE, related_name="links")
    secret = models.CharField(max_length=64, unique=True)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"link of order {self.order_id}"


class Garment(models.Model):
    """The production unit: it hangs on the rail and moves through the stages."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="garments")
    order = models.ForeignKey(Order, models.CASCADE, related_name="garments")
    position = models.PositiveSmallIntegerField()  # within the order, from 1
    wearer = models.ForeignKey(Wearer, models.PROTECT, related_name="garments")
    title = models.CharField(max_length=120)
    style = models.CharField(max_length=60)
    choices = models.JSONField(default=dict)
    measurements = models.ForeignKey(
        MeasurementSet, models.PROTECT, null=True, blank=True, related_name="garments"
    )
    size = models.CharField(max_length=40, blank=True)  # of a size table; stands in until it is measured
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.MEASURE)
    stage_since_at = models.DateTimeField()
    tax_rate = models.ForeignKey(  # None = the workshop's usual rate
        TaxRate, models.RESTRICT, null=True, blank=True, related_name="garments"
    )
    version = models.PositiveIntegerField(default=1)
    delivered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "position"], name="garment_position_once"),
        ]

    def __str__(self) -> str:
        return self.title

    def wish(self, cloths: Iterable[GarmentCloth]) -> dict[str, Any]:
        """What was agreed to be made: a quote carries it, and is outdated once it differs."""
        return {
            "style": self.style,
            "choices": self.choices,
            "cloths": {cloth.role: cloth.cloth_id for cloth in sorted(cloths, key=lambda cloth: cloth.role)},
        }


class GarmentCloth(models.Model):
    """Which cloth of the price list a garment is made of, and how it is laid.

    ``way``: how it must lie (``drafting.layplan.Way``); empty: whichever is shortest. ``lengths``: what it
    must be laid on, keys of lengths on the shelf in their order, null for the roll; empty: any one length.
    """

    class Role(models.TextChoices):
        SHELL = "shell", "shell"
        LINING = "lining", "lining"
        INTERFACING = "interfacing", "interfacing"

    garment = models.ForeignKey(Garment, models.CASCADE, related_name="cloths")
    role = models.CharField(max_length=12, choices=Role)
    cloth = models.ForeignKey("costing.Cloth", models.PROTECT, related_name="+")
    way = models.CharField(max_length=12, blank=True)
    lengths = models.JSONField(default=list, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["garment", "role"], name="garment_cloth_role_once"),
        ]

    def __str__(self) -> str:
        return f"{self.role} of garment {self.garment_id}"


class Draft(models.Model):
    """A pattern draft as computed: frozen inputs, engine version, outputs, checks.

    ``inputs``: measurements in mm, age, style, choices, house rules. ``output``: the draft in the contract's
    JSON (drafting.output.contract). A superseded draft is kept; its files say so.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="drafts")
    garment = models.ForeignKey(Garment, models.CASCADE, related_name="drafts")
    version = models.PositiveIntegerField()
    engine = models.CharField(max_length=20)
    inputs = models.JSONField()
    output = models.JSONField()
    passed = models.BooleanField()
    failed_checks = models.PositiveSmallIntegerField(default=0)
    roles = models.JSONField(default=list)  # the cloths that its pieces are cut from: shell, lining ...
    waived_by = models.ForeignKey(Staff, models.PROTECT, null=True, blank=True, related_name="+")
    waived_reason = models.CharField(max_length=300, blank=True)
    superseded_at = models.DateTimeField(null=True, blank=True)
    superseded_reason = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["garment", "version"], name="draft_version_once"),
            models.UniqueConstraint(
                fields=["garment"], condition=Q(superseded_at__isnull=True), name="one_draft_holds"
            ),
        ]

    def __str__(self) -> str:
        return f"draft {self.version} of garment {self.garment_id}"


class OperationsRevision(models.Model):
    """The owner's word on a garment's operation list, put on whatever list its draft gives; the newest holds.

    ``content``: see ``costing.rules.revising.Revision``.
    """

    garment = models.ForeignKey(Garment, models.CASCADE, related_name="operations_revisions")
    version = models.PositiveIntegerField()
    content = models.JSONField()
    reason = models.CharField(max_length=300)
    summary = models.TextField()  # how the list differed from the one before
    by = models.ForeignKey(Staff, models.PROTECT, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["garment", "version"], name="operations_revision_once"),
        ]

    def __str__(self) -> str:
        return f"operations {self.version} of garment {self.garment_id}"


class JointLay(models.Model):
    """Several garments laid together on one cloth. Each has a part of it: a lay plan with its share.

    ``single_mm``: what their own lays would have had them buy, added up.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="joint_lays")
    role = models.CharField(max_length=12, choices=GarmentCloth.Role)
    cloth = models.ForeignKey("costing.Cloth", models.PROTECT, related_name="+")
    output = models.JSONField()  # drafting.layplan: the lay in the contract's JSON
    length_mm = models.FloatField()
    buy_length_mm = models.FloatField()
    single_mm = models.FloatField()
    utilisation = models.FloatField()
    created_at = models.DateTimeField()
    dissolved_at = models.DateTimeField(null=True, blank=True)
    dissolved_reason = models.CharField(max_length=300, blank=True)

    def __str__(self) -> str:
        return f"joint lay {self.pk}"


class LayPlan(models.Model):
    """How the pieces of a draft lie on one cloth, and what length to buy for it.

    ``takes``: what it takes of each length that it was laid on (``orders.rules.takes``); empty where any one
    length will do. A part of a joint lay has its share of all lengths, no lay of its own in ``output``, and
    ``single`` names the one that holds again when the joint lay is dissolved.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="lay_plans")
    draft = models.ForeignKey(Draft, models.CASCADE, related_name="lay_plans")
    role = models.CharField(max_length=12, choices=GarmentCloth.Role)
    cloth = models.ForeignKey("costing.Cloth", models.PROTECT, related_name="+")
    inputs = models.JSONField()
    output = models.JSONField()  # drafting.layplan: the lay in the contract's JSON
    length_mm = models.FloatField()
    buy_length_mm = models.FloatField()  # as the seller cuts it
    need_mm = models.FloatField()  # the lay and its ends, before shrinking; of several lengths the sum
    cut_mm = models.FloatField()  # what the lay takes of the cloth, before shrinking
    real_cut_mm = models.FloatField(null=True, blank=True)  # what was cut, where somebody noted it
    utilisation = models.FloatField()
    joint = models.ForeignKey(JointLay, models.CASCADE, null=True, blank=True, related_name="parts")
    joint_number = models.PositiveSmallIntegerField(null=True, blank=True)  # its garment's, on the picture
    single = models.ForeignKey("self", models.SET_NULL, null=True, blank=True, related_name="+")
    takes = models.JSONField(default=list, blank=True)
    superseded_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["draft", "role"], condition=Q(superseded_at__isnull=True), name="one_lay_plan_holds"
            ),
            models.UniqueConstraint(fields=["joint", "joint_number"], name="joint_number_once"),
            models.CheckConstraint(
                condition=Q(joint__isnull=True, joint_number__isnull=True)
                | Q(joint__isnull=False, joint_number__isnull=False),
                name="part_has_a_number",
            ),
        ]

    def __str__(self) -> str:
        return f"lay plan of {self.role}, draft {self.draft_id}"

    @property
    def letter(self) -> str:
        """Of its garment on the picture of a joint lay; empty where it has a lay of its own."""
        return letter(self.joint_number) if self.joint_number else ""


class CuttingLine(models.Model):
    """A line of the cutting list, to be ticked off at the bench."""

    draft = models.ForeignKey(Draft, models.CASCADE, related_name="cutting_lines")
    position = models.PositiveSmallIntegerField()
    cloth = models.CharField(max_length=12)  # shell, lining, interfacing
    piece = models.CharField(max_length=80)
    count = models.PositiveSmallIntegerField()
    how = models.CharField(max_length=80)
    cut_by = models.ForeignKey(Staff, models.PROTECT, null=True, blank=True, related_name="+")
    cut_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["draft", "position"], name="cutting_line_position_once"),
        ]

    def __str__(self) -> str:
        return f"{self.count} x {self.piece} of {self.cloth}"


class Letter(models.Model):
    """A letter to the customer, noted before it is sent, so that a worker's death never sends it twice.

    While ``sent_at`` is empty it is on its way, or nobody knows whether it went (``doubtful_at``): then only
    the owner's word sends it again.
    """

    order = models.ForeignKey(Order, models.CASCADE, related_name="letters")
    name = models.CharField(max_length=40)  # of its template
    source_id = models.BigIntegerField()  # of the paper that goes with it
    begun_at = models.DateTimeField()
    doubtful_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["name", "source_id"], name="letter_once"),
        ]

    def __str__(self) -> str:
        return f"{self.name} of {self.source_id}"


class OrderDocument(models.Model):
    """A file that a job made, for an order, a draft, or one of the order's papers."""

    class Kind(models.TextChoices):
        PATTERN_A4 = "pattern-a4", "pattern on A4 sheets"
        PATTERN_LETTER = "pattern-letter", "pattern on Letter sheets"
        PATTERN_SHEET = "pattern-sheet", "pattern on one full-size sheet"
        PATTERN_A0 = "pattern-a0", "pattern on A0 sheets, for a copy shop"
        PATTERN_ROLL = "pattern-roll", "pattern on a 36 in roll, for a plotter"
        PATTERN_HAND = "pattern-hand", "pattern to rule by hand, step by step"
        PATTERN_SVG = "pattern-svg", "pattern as a drawing (SVG)"
        PATTERN_DXF = "pattern-dxf", "pattern for a cutter (DXF)"
        LAY = "lay", "lay plan"
        QUOTE = "quote", "quote"
        INVOICE = "invoice", "invoice"
        RECEIPT = "receipt", "receipt"
        CREDIT_NOTE = "credit-note", "credit note"

    order = models.ForeignKey(Order, models.CASCADE, related_name="documents")
    draft = models.ForeignKey(Draft, models.CASCADE, null=True, blank=True, related_name="documents")
    kind = models.CharField(max_length=20, choices=Kind)
    source_id = models.BigIntegerField()  # of the draft, lay plan, quote, invoice, receipt it shows
    superseded = models.BooleanField(default=False)  # whether the file itself carries the superseded mark
    document = models.ForeignKey(Document, models.CASCADE, related_name="+")

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["kind", "source_id"], name="order_document_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of order {self.order_id}"


class Parcel(models.Model):
    """A length of cloth (mm) that is ordered and on its way, and the garments that it was ordered for.

    It is no stock: once it came, a move books it.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="parcels")
    cloth = models.ForeignKey("costing.Cloth", models.PROTECT, related_name="parcels")
    garments = models.ManyToManyField(Garment, related_name="parcels")
    length_mm = models.FloatField()
    ordered_at = models.DateTimeField()
    expected_on = models.DateField()
    came_at = models.DateTimeField(null=True, blank=True)
    given_up_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(length_mm__gt=0), name="parcel_length"),
            models.CheckConstraint(
                condition=Q(came_at__isnull=True) | Q(given_up_at__isnull=True), name="parcel_came_or_not"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.length_mm:g} mm of cloth {self.cloth_id}, expected on {self.expected_on}"
