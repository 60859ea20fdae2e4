"""What the API shows and reads. Lengths are mm, money is text, times are ISO 8601.

An apprentice is shown initials where the owner is shown a name: as on the bench, no more than the work needs.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.utils import timezone
from rest_framework import serializers

from costing.models import Quote
from drafting.body import SIZES
from workshop.api.access import staff_of
from workshop.jobs.models import Job
from workshop.orders.models import Draft, Garment, GarmentCloth, LayPlan, Order
from workshop.orders.rules.ways import SHORTEST, WISHES
from workshop.people.models import TaxRate, initials
from workshop.planning.models import Fitting, FittingChange, FittingOutcome
from workshop.planning.rules.alterations import PLACES, SIDES


class NameField(serializers.CharField):
    """A person's name to the owner, their initials to everybody else."""

    def to_representation(self, value: str) -> str:
        request = self.context.get("request")
        staff = staff_of(request) if request is not None else None
        return value if staff is not None and staff.is_owner else initials(value)


class InstantField(serializers.DateTimeField):
    """A moment with its offset: without one nobody knows whose clock is meant."""

    def enforce_timezone(self, value: datetime) -> datetime:
        if timezone.is_naive(value):
            raise serializers.ValidationError(
                "Add the offset from UTC, such as 2026-05-04T10:00:00+01:00.", code="naive"
            )
        return super().enforce_timezone(value)


class GarmentSerializer(serializers.ModelSerializer[Garment]):
    order = serializers.IntegerField(source="order.number")
    wearer = NameField(source="wearer.name")
    cloths = serializers.SerializerMethodField()
    draft = serializers.SerializerMethodField()

    class Meta:
        model = Garment
        fields = (
            "id",
            "order",
            "position",
            "title",
            "wearer",
            "style",
            "choices",
            "cloths",
            "stage",
            "stage_since_at",
            "size",
            "draft",
            "tax_rate",
            "version",
            "delivered_at",
        )

    def get_cloths(self, garment: Garment) -> dict[str, int]:
        """Cloth of the price list by role."""
        return {row.role: row.cloth_id for row in garment.cloths.all()}

    def get_draft(self, garment: Garment) -> int | None:
        """The draft that holds."""
        return next((draft.pk for draft in garment.drafts.all() if draft.superseded_at is None), None)


class OrderSerializer(serializers.ModelSerializer[Order]):
    client = NameField(source="client.name")
    garments = GarmentSerializer(many=True)

    class Meta:
        model = Order
        fields = (
            "number",
            "client",
            "occasion",
            "due_on",
            "note",
            "version",
            "created_at",
            "cancelled_at",
            "garments",
        )


class ClothWishSerializer(serializers.Serializer[Any]):
    role = serializers.ChoiceField(choices=GarmentCloth.Role.choices)
    cloth = serializers.IntegerField()
    way = serializers.ChoiceField(choices=WISHES, default=SHORTEST, help_text="How it must lie.")


class GarmentWishSerializer(serializers.Serializer[Any]):
    wearer = serializers.IntegerField(help_text="A wearer of the client.")
    title = serializers.CharField(max_length=120)
    style = serializers.CharField(max_length=60)  # type: ignore[assignment]  # a declared field, not the attribute of that name
    choices = serializers.DictField(default=dict, help_text="Lengths in mm.")
    cloths = ClothWishSerializer(many=True, default=list)


class TakeOrderSerializer(serializers.Serializer[Any]):
    client = serializers.IntegerField()
    occasion = serializers.CharField(max_length=120, default="", allow_blank=True)
    due_on = serializers.DateField()
    note = serializers.CharField(max_length=4000, default="", allow_blank=True)
    submission = serializers.UUIDField(help_text="Your own mark: the same one twice makes one order.")
    garments = GarmentWishSerializer(many=True, allow_empty=False)


class MeasureSerializer(serializers.Serializer[Any]):
    unit = serializers.ChoiceField(choices=("in", "cm", "mm"))
    measurements = serializers.DictField(
        child=serializers.CharField(max_length=60), help_text="ISO 8559-1 terms in snake case, as typed."
    )
    taken_on = serializers.DateField()
    confirmed = serializers.ListField(child=serializers.CharField(), default=list)


class SizeSerializer(serializers.Serializer[Any]):
    size = serializers.ChoiceField(choices=[*SIZES], allow_blank=True)


class TaxRateSerializer(serializers.ModelSerializer[TaxRate]):
    class Meta:
        model = TaxRate
        fields = ("id", "name", "percent", "zero_rated")


class ChooseTaxRateSerializer(serializers.Serializer[Any]):
    tax_rate = serializers.IntegerField(allow_null=True, help_text="Null for the workshop's usual rate.")
    expected_version = serializers.IntegerField(help_text="The garment's version as you read it.")


class MoveSerializer(serializers.Serializer[Any]):
    to = serializers.CharField(max_length=10)
    reason = serializers.CharField(max_length=300, default="", allow_blank=True)
    owner_word = serializers.BooleanField(default=False)


class LayPlanSerializer(serializers.ModelSerializer[LayPlan]):
    """``output`` of a part of a joint lay is the whole; its garment's pieces begin with ``letter``.

    ``takes``: what it takes of each length that it was laid on, null for the roll; empty where any one does.
    """

    output = serializers.SerializerMethodField()

    class Meta:
        model = LayPlan
        fields = (
            "id",
            "role",
            "cloth",
            "length_mm",
            "buy_length_mm",
            "takes",
            "utilisation",
            "joint",
            "letter",
            "created_at",
            "output",
        )

    def get_output(self, plan: LayPlan) -> dict[str, Any]:
        whole: dict[str, Any] = plan.output if plan.joint is None else plan.joint.output
        return whole


class LengthSerializer(serializers.Serializer[Any]):
    """A length on the shelf that a lay may be laid on; what its garment has set aside is as good as free."""

    role = serializers.CharField()
    key = serializers.IntegerField()
    free_mm = serializers.FloatField()
    is_remnant = serializers.BooleanField()
    flaws = serializers.IntegerField(help_text="How many are noted of it.")


class LayOnLengthsSerializer(serializers.Serializer[Any]):
    role = serializers.ChoiceField(choices=GarmentCloth.Role.choices)
    lengths = serializers.ListField(
        child=serializers.IntegerField(min_value=1), help_text="Keys of lengths; none lets any one length do."
    )
    roll = serializers.BooleanField(
        default=True, help_text="Whether what does not go on them is cut from new cloth."
    )


class DraftSerializer(serializers.ModelSerializer[Draft]):
    """``output`` is the draft in the JSON of the `draft` command."""

    lay_plans = serializers.SerializerMethodField()

    class Meta:
        model = Draft
        fields = (
            "id",
            "garment",
            "version",
            "engine",
            "passed",
            "failed_checks",
            "waived_reason",
            "superseded_at",
            "created_at",
            "output",
            "lay_plans",
        )

    def get_lay_plans(self, draft: Draft) -> list[dict[str, Any]]:
        """The lay plans that hold."""
        held = [plan for plan in draft.lay_plans.all() if plan.superseded_at is None]
        return list(LayPlanSerializer(held, many=True).data)


class QuoteSerializer(serializers.ModelSerializer[Quote]):
    order = serializers.IntegerField(source="order.number")
    payable = serializers.DecimalField(max_digits=14, decimal_places=3, read_only=True)

    class Meta:
        model = Quote
        fields = (
            "id",
            "order",
            "version",
            "state",
            "currency",
            "net",
            "tax",
            "gross",
            "rounding",
            "payable",
            "deposit",
            "valid_until_on",
            "sent_at",
            "answered_at",
            "answered_by",
        )


class FindingSerializer(serializers.ModelSerializer[FittingChange]):
    """What was found; one that was said in words only has no place and no amount."""

    class Meta:
        model = FittingChange
        fields = ("place", "way", "side", "amount_mm", "words", "fit_note", "task")


class FittingSerializer(serializers.ModelSerializer[Fitting]):
    fitter = serializers.CharField(source="fitter.name")
    changes = FindingSerializer(many=True)

    class Meta:
        model = Fitting
        fields = (
            "id",
            "garment",
            "fitter",
            "starts_at",
            "ends_at",
            "chosen_by_customer",
            "cancelled_at",
            "held_at",
            "outcome",
            "notes",
            "signed_by",
            "changes",
        )


class BookFittingSerializer(serializers.Serializer[Any]):
    garment = serializers.IntegerField()
    starts_at = InstantField()

    def validate_starts_at(self, starts_at: datetime) -> datetime:
        """Beyond these years a time cannot be reckoned with in every zone."""
        if not 2000 <= starts_at.year <= 2999:
            raise serializers.ValidationError("Check the year.")
        return starts_at


class ChangeSerializer(serializers.Serializer[Any]):
    place = serializers.ChoiceField(choices=[*PLACES])
    way = serializers.CharField(max_length=12, help_text="Which way it goes, such as in, up or shorter.")
    amount_mm = serializers.FloatField(help_text="At the place, on one side of the body.")
    side = serializers.ChoiceField(choices=SIDES, default="", allow_blank=True)
    minutes = serializers.IntegerField(default=None, allow_null=True, help_text="Null: the usual ones.")
    in_figure = serializers.BooleanField(
        default=True, help_text="It lies in the wearer's figure: later drafts are drawn with it."
    )


class AlterationSerializer(serializers.Serializer[Any]):
    what = serializers.CharField(max_length=120)
    minutes = serializers.IntegerField()


class HoldFittingSerializer(serializers.Serializer[Any]):
    outcome = serializers.ChoiceField(choices=FittingOutcome.choices)
    notes = serializers.CharField(max_length=2000, default="", allow_blank=True)
    changes = ChangeSerializer(many=True, default=list)
    alterations = AlterationSerializer(
        many=True, default=list, help_text="What no place names; of a recut, the pieces."
    )
    measures = serializers.DictField(
        child=serializers.CharField(max_length=60),
        default=dict,
        help_text="New measurements as typed, in the workshop's unit.",
    )
    confirmed = serializers.ListField(child=serializers.CharField(), default=list)
    signed_by = serializers.CharField(max_length=120, default="", allow_blank=True)


class SlotSerializer(serializers.Serializer[Any]):
    starts_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField()
    fitter = serializers.CharField(source="fitter.name")


class JobSerializer(serializers.ModelSerializer[Job]):
    class Meta:
        model = Job
        fields = ("id", "kind", "state", "progress", "message", "result", "created_at", "finished_at")


class LinkSerializer(serializers.Serializer[Any]):
    address = serializers.CharField()
    expires_at = serializers.DateTimeField()
