"""The Celery application: workers of a production installation read it."""

from __future__ import annotations

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")

app = Celery("workshop")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
