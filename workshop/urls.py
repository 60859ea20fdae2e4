"""Addresses of the whole service."""

from __future__ import annotations

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from workshop import views

urlpatterns = [
    path("", views.home, name="home"),
    path("sign-in/", LoginView.as_view(template_name="sign_in.html"), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("jobs/<int:pk>/", views.job, name="job"),
    path("files/<int:pk>/", views.document, name="document"),
    path("swatches/<int:pk>/", views.swatch, name="swatch"),
    path("calendar/<str:secret>.ics", views.work_calendar, name="work-calendar"),
    path("photographs/<int:pk>/", views.photograph, name="photograph"),
    path("lays/<int:pk>.<slug:kind>", views.lay_file, name="lay-file"),
    path("desk/", include("workshop.desk.urls")),
    path("bench/", include("workshop.bench.urls")),
    path("c/", include("workshop.counter.urls")),
    path("api/", include("workshop.api.urls")),
]

handler400 = "workshop.views.not_understood"
handler403 = "workshop.views.refused"
handler404 = "workshop.views.not_found"
handler500 = "workshop.views.broken"
