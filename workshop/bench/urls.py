"""Addresses of the apprentice's pages."""

from __future__ import annotations

from django.urls import path

from workshop.bench import feeds, views

app_name = "bench"
urlpatterns = [
    path("", views.show_now, name="now"),
    path("cutting/", views.show_cutting, name="cutting"),
    path("calendar/", feeds.show_calendar, name="calendar"),
    path("calendar/open/", feeds.open_feed, name="open-feed"),
    path("calendar/<int:pk>/withdraw/", feeds.withdraw_feed, name="withdraw-feed"),
    path("garments/<int:pk>/", views.show_garment, name="garment"),
    path("garments/<int:pk>/cut/", views.show_cut, name="cut"),
    path("garments/<int:pk>/cut/done/", views.cut_done, name="cut-done"),
    path("lines/<int:pk>/", views.tick_line, name="tick"),
    path("tasks/<int:pk>/start/", views.start_task, name="start"),
    path("tasks/<int:pk>/stop/", views.stop_task, name="stop"),
    path("tasks/<int:pk>/finish/", views.finish_task, name="finish"),
]
