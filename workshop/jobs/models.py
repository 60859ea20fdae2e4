"""Background work: one durable record a job, and the files that jobs make."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.db.models import Q

from workshop.people.models import Workshop


class JobState(models.TextChoices):
    WAITING = "waiting", "waiting"
    RUNNING = "running", "running"
    DONE = "done", "done"
    FAILED = "failed", "failed"
    CANCELLED = "cancelled", "cancelled"


class Job(models.Model):
    """What is to be done, how far it is, and what came of it.

    ``key`` names what the job depends on: while one with the same key is open, asking again returns it.
    A running job holds a lease until ``leased_until_at``; a worker that dies lets it lapse. A ``prompt`` one,
    which somebody waits for and which is soon done, goes before what has waited longer.
    """

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="jobs")
    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=200)
    params = models.JSONField(default=dict)
    prompt = models.BooleanField(default=False)
    state = models.CharField(max_length=10, choices=JobState, default=JobState.WAITING)
    due_at = models.DateTimeField()
    attempts = models.PositiveSmallIntegerField(default=0)
    leased_until_at = models.DateTimeField(null=True, blank=True)
    leased_by = models.CharField(max_length=80, blank=True)
    cancel_asked = models.BooleanField(default=False)
    rerun_asked = models.BooleanField(default=False)  # asked for again while it was running
    progress = models.PositiveSmallIntegerField(default=0)  # percent
    message = models.CharField(max_length=300, blank=True)  # for people; never a stack trace
    result = models.JSONField(null=True, blank=True)
    created_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["workshop", "kind", "key"],
                condition=Q(state__in=["waiting", "running"]),
                name="one_open_job_a_key",
            ),
            models.CheckConstraint(condition=Q(progress__lte=100), name="job_progress_percent"),
        ]
        indexes: ClassVar = [models.Index(fields=["state", "due_at"], name="job_by_due")]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"

    @property
    def is_open(self) -> bool:
        return self.state in {JobState.WAITING, JobState.RUNNING}


class Document(models.Model):
    """A file made by a job. The name is what a person saves it as."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="documents")
    job = models.ForeignKey(Job, models.SET_NULL, null=True, related_name="documents")
    name = models.CharField(max_length=160)
    content_type = models.CharField(max_length=80)
    file = models.FileField(upload_to="documents/%Y/%m/")
    size_bytes = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    created_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
