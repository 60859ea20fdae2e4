"""Addresses of the customer's letter. The secret in each is all that opens it."""

from __future__ import annotations

from django.urls import path

from workshop.counter import views

app_name = "counter"
urlpatterns = [
    path("<str:secret>/", views.show_order, name="order"),
    path("<str:secret>/accept/", views.accept, name="accept"),
    path("<str:secret>/decline/", views.decline, name="decline"),
    path("<str:secret>/fitting/<int:garment_id>/", views.book_fitting, name="book"),
    path("<str:secret>/fitting/<int:pk>/move/", views.move_fitting, name="move-fitting"),
    path("<str:secret>/fitting/<int:pk>/cancel/", views.cancel_fitting, name="cancel-fitting"),
    path("<str:secret>/fitting/<int:pk>/fitting.ics", views.fitting_calendar, name="calendar"),
    path("<str:secret>/reminders/", views.choose_reminders, name="reminders"),
    path("<str:secret>/paper/<int:pk>/", views.paper, name="paper"),
]
