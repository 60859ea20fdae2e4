"""REST over the services that the pages call. Everything is inside the caller's workshop; the rest is 404."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.db import transaction
from django.db.models import Prefetch, QuerySet
from django.http import Http404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import mixins, status, viewsets
from rest_framework.authtoken.views import ObtainAuthToken
from rest_framework.decorators import action
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import ScopedRateThrottle

from costing import queries as costing_queries
from costing.models import Cloth, Quote
from workshop.api import serializers
from workshop.api.access import OwnerOnly, StaffReadsOwnerDecides, staff_of
from workshop.api.parsers import PlainJSONParser
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import Draft, Garment, Order
from workshop.orders.services import GarmentWish
from workshop.people import queries as people_queries
from workshop.people import services as people_services
from workshop.people.models import Staff, TaxRate, Workshop
from workshop.planning import queries as planning_queries
from workshop.planning import services as planning_services
from workshop.planning.models import Fitting, FittingChange
from workshop.planning.rules.alterations import Change

MADE_FOR_GARMENT = (
    "cloths",
    Prefetch("drafts", Draft.objects.only("pk", "garment_id", "superseded_at").order_by("pk")),
)


class TokenView(ObtainAuthToken):
    """Exchange a sign-in name and password for a token. Tried too often, it waits."""

    throttle_classes = (ScopedRateThrottle,)
    throttle_scope = "token"
    parser_classes = (PlainJSONParser,)


class WorkshopView(viewsets.GenericViewSet[Any]):
    """A view of one workshop: the caller's."""

    permission_classes: tuple[type[BasePermission], ...] = (StaffReadsOwnerDecides,)
    parser_classes = (PlainJSONParser,)

    @property
    def staff(self) -> Staff:
        staff = staff_of(self.request)
        assert staff is not None  # the permission has refused everybody else
        return staff

    @property
    def workshop(self) -> Workshop:
        return self.staff.workshop

    def read(self, serializer: Any) -> dict[str, Any]:
        """Validate the request's data. Raises: ValidationError (400)."""
        form = serializer(data=self.request.data)
        form.is_valid(raise_exception=True)
        data: dict[str, Any] = form.validated_data
        return data


class OrderView(mixins.ListModelMixin, mixins.RetrieveModelMixin, WorkshopView):
    """Orders with their garments."""

    serializer_class = serializers.OrderSerializer
    lookup_field = "number"
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Order]:
        if getattr(self, "swagger_fake_view", False):
            return Order.objects.none()
        rows = Order.objects.filter(workshop=self.workshop).select_related("client")
        garments = Garment.objects.select_related("order", "wearer").prefetch_related(*MADE_FOR_GARMENT)
        return rows.prefetch_related(Prefetch("garments", garments.order_by("position"))).order_by("-number")

    @extend_schema(request=serializers.TakeOrderSerializer, responses={201: serializers.OrderSerializer})
    def create(self, request: Request) -> Response:
        """Take an order."""
        data = self.read(serializers.TakeOrderSerializer)
        mark = data.pop("submission")
        sent = people_services.do_once(
            workshop=self.workshop, mark=mark, now=timezone.now(), deed=partial(self._take, data)
        )
        if not sent.led_to.isdigit():
            raise Refusal("This mark was used for something else; make a new one.", field="submission")
        order = self.get_queryset().get(number=sent.led_to)
        return Response(self.get_serializer(order).data, status=status.HTTP_201_CREATED)

    def _take(self, data: dict[str, Any]) -> str:
        """Take an order; return its number."""
        client = people_queries.client_of(self.workshop, data["client"])
        if client is None:
            raise Refusal("There is no such client in this workshop.", field="client")
        wishes = [self._wish(row) for row in data["garments"]]
        order = services.take_order(
            workshop=self.workshop,
            by=self.staff,
            now=timezone.now(),
            **{**data, "client": client, "garments": wishes},
        )
        return str(order.number)

    def _wish(self, row: dict[str, Any]) -> GarmentWish:
        wearer = people_queries.wearer_of(self.workshop, row["wearer"])
        if wearer is None:
            raise Refusal("There is no such wearer in this workshop.", field="wearer")
        cloths = {cloth["role"]: (self._cloth(cloth["cloth"]), cloth["way"]) for cloth in row["cloths"]}
        return GarmentWish(wearer, row["title"], row["style"], row["choices"], cloths)

    def _cloth(self, pk: int) -> Cloth:
        cloth = costing_queries.cloth_of(self.workshop, pk)
        if cloth is None:
            raise Refusal("There is no such cloth in this workshop.", field="cloth")
        return cloth

    @extend_schema(request=None, responses={201: serializers.QuoteSerializer})
    @action(detail=True, methods=["post"])
    def quote(self, request: Request, number: int) -> Response:
        """Prepare the next version of the order's quote."""
        quote = services.prepare_quote(order=self.get_object(), by=self.staff, now=timezone.now())
        return Response(serializers.QuoteSerializer(quote).data, status=status.HTTP_201_CREATED)


class GarmentView(mixins.ListModelMixin, mixins.RetrieveModelMixin, WorkshopView):
    """Garments, and what is done to them."""

    serializer_class = serializers.GarmentSerializer
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Garment]:
        if getattr(self, "swagger_fake_view", False):
            return Garment.objects.none()
        rows = Garment.objects.filter(workshop=self.workshop).select_related("workshop", "order", "wearer")
        return rows.prefetch_related(*MADE_FOR_GARMENT).order_by("order__due_on", "pk")

    @extend_schema(request=serializers.MeasureSerializer, responses=serializers.GarmentSerializer)
    @action(detail=True, methods=["post"])
    def measure(self, request: Request, pk: int) -> Response:
        """Record measurements of the wearer and let the garment stand on them."""
        garment, data = self.get_object(), self.read(serializers.MeasureSerializer)
        by, now = self.staff, timezone.now()
        with transaction.atomic():
            measured = people_services.record_measurements(
                wearer=garment.wearer,
                unit=data["unit"],
                typed=data["measurements"],
                taken_by=by,
                taken_on=data["taken_on"],
                confirmed=data["confirmed"],
                now=now,
            )
            garment = services.set_measurements(garment=garment, measurements=measured, by=by, now=now)
        return Response(self.get_serializer(garment).data)

    @extend_schema(request=serializers.SizeSerializer, responses=serializers.GarmentSerializer)
    @action(detail=True, methods=["post"])
    def size(self, request: Request, pk: int) -> Response:
        """Let a row of a size table stand in until the wearer is measured; an empty size lets it go."""
        data = self.read(serializers.SizeSerializer)
        garment = services.stand_in(garment=self.get_object(), by=self.staff, now=timezone.now(), **data)
        return Response(self.get_serializer(garment).data)

    @extend_schema(request=serializers.ChooseTaxRateSerializer, responses=serializers.GarmentSerializer)
    @action(detail=True, methods=["post"], url_path="tax-rate")
    def tax_rate(self, request: Request, pk: int) -> Response:
        """Tax the garment by a rate beside the usual one, or by that again; its price is reckoned anew."""
        data = self.read(serializers.ChooseTaxRateSerializer)
        garment = services.choose_tax_rate(
            garment=self.get_object(),
            expected_version=data["expected_version"],
            tax_rate=self._tax_rate(data["tax_rate"]),
            by=self.staff,
            now=timezone.now(),
        )
        return Response(self.get_serializer(garment).data)

    def _tax_rate(self, pk: int | None) -> TaxRate | None:
        if pk is None:
            return None
        rate = self.workshop.tax_rates.filter(pk=pk).first()
        if rate is None:
            raise Refusal("There is no such tax rate in this workshop.", field="tax_rate")
        return rate

    @extend_schema(request=None, responses={201: serializers.DraftSerializer})
    @action(detail=True, methods=["post"])
    def draft(self, request: Request, pk: int) -> Response:
        """Draft the pattern, and ask for its files and lay plans."""
        garment, now = self.get_object(), timezone.now()
        draft = services.draft_garment(garment=garment, by=self.staff, now=now)
        services.request_outputs(draft=draft, by=self.staff, now=now)
        return Response(serializers.DraftSerializer(draft).data, status=status.HTTP_201_CREATED)

    @extend_schema(request=serializers.MoveSerializer, responses=serializers.GarmentSerializer)
    @action(detail=True, methods=["post"])
    def move(self, request: Request, pk: int) -> Response:
        """Move the garment to another stage."""
        data = self.read(serializers.MoveSerializer)
        garment = services.move_garment(garment=self.get_object(), by=self.staff, now=timezone.now(), **data)
        return Response(self.get_serializer(garment).data)

    @extend_schema(responses=serializers.SlotSerializer(many=True))
    @action(detail=True, methods=["get"], url_path="fitting-times", pagination_class=None)
    def fitting_times(self, request: Request, pk: int) -> Response:
        """Times at which the garment can be tried on."""
        slots = planning_queries.free_fitting_slots(self.get_object(), timezone.now())
        return Response(serializers.SlotSerializer(slots, many=True).data)


class TaxRateView(mixins.ListModelMixin, WorkshopView):
    """The tax rates beside the workshop's usual one; which holds for what is local."""

    permission_classes = (OwnerOnly,)
    serializer_class = serializers.TaxRateSerializer

    def get_queryset(self) -> QuerySet[TaxRate]:
        if getattr(self, "swagger_fake_view", False):
            return TaxRate.objects.none()
        return TaxRate.objects.filter(workshop=self.workshop, archived_at=None).order_by("name")


class DraftView(mixins.RetrieveModelMixin, WorkshopView):
    """A draft in the contract's JSON, with the lay plans that hold."""

    serializer_class = serializers.DraftSerializer
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Draft]:
        if getattr(self, "swagger_fake_view", False):
            return Draft.objects.none()
        drafts = Draft.objects.filter(workshop=self.workshop).select_related("workshop", "garment")
        return drafts.prefetch_related("lay_plans__joint").order_by("pk")

    @extend_schema(responses=serializers.LengthSerializer(many=True))
    @action(detail=True, methods=["get"], pagination_class=None)
    def lengths(self, request: Request, pk: int) -> Response:
        """The lengths on the shelf for each cloth that the draft is laid on."""
        rows = [
            {
                "role": lay.row.role,
                "key": shelved.length.key,
                "free_mm": shelved.length.free,
                "is_remnant": shelved.length.is_remnant,
                "flaws": len(shelved.length.flaws),
            }
            for lay in queries.lays_shown(self.get_object())
            for shelved in lay.shelf
        ]
        return Response(serializers.LengthSerializer(rows, many=True).data)

    @extend_schema(request=serializers.LayOnLengthsSerializer, responses={202: serializers.JobSerializer})
    @action(detail=True, methods=["post"], url_path="lay-on-lengths")
    def lay_on_lengths(self, request: Request, pk: int) -> Response:
        """Ask for a lay of one of the draft's cloths on lengths from the shelf, and on the roll."""
        data = self.read(serializers.LayOnLengthsSerializer)
        job = services.request_lay_on_lengths(
            draft=self.get_object(),
            role=data["role"],
            lengths=[*data["lengths"], *([None] if data["roll"] else [])],
            by=self.staff,
            now=timezone.now(),
        )
        return Response(serializers.JobSerializer(job).data, status=status.HTTP_202_ACCEPTED)


class QuoteView(mixins.ListModelMixin, mixins.RetrieveModelMixin, WorkshopView):
    """Quotes in all their versions."""

    permission_classes = (OwnerOnly,)
    serializer_class = serializers.QuoteSerializer
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Quote]:
        if getattr(self, "swagger_fake_view", False):
            return Quote.objects.none()
        return Quote.objects.filter(workshop=self.workshop).select_related("order").order_by("-pk")

    @extend_schema(request=None, responses=serializers.LinkSerializer)
    @action(detail=True, methods=["post"])
    def send(self, request: Request, pk: int) -> Response:
        """Freeze and send the quote; the answer holds the customer's private link."""
        link = services.send_quote(quote=self.get_object(), by=self.staff, now=timezone.now())
        shown = {"address": queries.link_address(link), "expires_at": link.expires_at}
        return Response(serializers.LinkSerializer(shown).data)


class FittingView(mixins.ListModelMixin, mixins.RetrieveModelMixin, WorkshopView):
    """Fittings: booked, held and cancelled."""

    serializer_class = serializers.FittingSerializer
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Fitting]:
        if getattr(self, "swagger_fake_view", False):
            return Fitting.objects.none()
        rows = Fitting.objects.filter(workshop=self.workshop).select_related("fitter", "garment__workshop")
        rows = rows.prefetch_related(Prefetch("changes", FittingChange.objects.order_by("position")))
        return rows.order_by("-starts_at", "-pk")

    @extend_schema(request=serializers.BookFittingSerializer, responses={201: serializers.FittingSerializer})
    def create(self, request: Request) -> Response:
        """Book a fitting."""
        data = self.read(serializers.BookFittingSerializer)
        garment = queries.garment_of(self.workshop, data["garment"])
        if garment is None:
            raise Http404
        fitting = planning_services.book_fitting(
            garment=garment, starts_at=data["starts_at"], now=timezone.now(), by=self.staff
        )
        return Response(self.get_serializer(fitting).data, status=status.HTTP_201_CREATED)

    @extend_schema(request=None, responses=serializers.FittingSerializer)
    @action(detail=True, methods=["post"])
    def cancel(self, request: Request, pk: int) -> Response:
        """Cancel a fitting; its time is free again."""
        fitting = self.get_object()
        fitting = planning_services.cancel_fitting(fitting=fitting, now=timezone.now(), by=self.staff)
        return Response(self.get_serializer(fitting).data)

    @extend_schema(request=serializers.HoldFittingSerializer, responses=serializers.FittingSerializer)
    @action(detail=True, methods=["post"])
    def hold(self, request: Request, pk: int) -> Response:
        """Note how a fitting went and what it found, by place; each finding becomes a task."""
        fitting = self.get_object()
        data = self.read(serializers.HoldFittingSerializer)
        changes = [Change(**row) for row in data.pop("changes")]
        alterations = [planning_services.Alteration(**row) for row in data.pop("alterations")]
        planning_services.hold_fitting(
            fitting=fitting,
            changes=changes,
            alterations=alterations,
            by=self.staff,
            now=timezone.now(),
            **data,
        )
        return Response(self.get_serializer(self.get_object()).data)


class JobView(mixins.ListModelMixin, mixins.RetrieveModelMixin, WorkshopView):
    """Background work and how far it is."""

    serializer_class = serializers.JobSerializer
    lookup_value_converter = "int"

    def get_queryset(self) -> QuerySet[Job]:
        if getattr(self, "swagger_fake_view", False):
            return Job.objects.none()
        return Job.objects.filter(workshop=self.workshop).order_by("-pk")
