"""Addresses of the API, its description (OpenAPI) and the page that shows it."""

from __future__ import annotations

from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView
from rest_framework.routers import SimpleRouter

from workshop.api import views
from workshop.api.page import show_page

app_name = "api"
router = SimpleRouter(use_regex_path=False)
router.register("orders", views.OrderView, basename="order")
router.register("garments", views.GarmentView, basename="garment")
router.register("drafts", views.DraftView, basename="draft")
router.register("quotes", views.QuoteView, basename="quote")
router.register("tax-rates", views.TaxRateView, basename="tax-rate")
router.register("fittings", views.FittingView, basename="fitting")
router.register("jobs", views.JobView, basename="job")

urlpatterns = [
    path("", show_page, name="page"),
    path("schema/", SpectacularAPIView.as_view(permission_classes=[]), name="schema"),
    path("token/", views.TokenView.as_view(), name="token"),
    path("", include(router.urls)),
]
