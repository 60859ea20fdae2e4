from __future__ import annotations

app_name = "api"
urlpatterns: list[object] = []
