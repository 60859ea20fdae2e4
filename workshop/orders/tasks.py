"""Background work of orders: files, lays, papers, letters, the day's tidying. Each is safe to do twice."""

from __future__ import annotations

from django.utils import timezone

from costing.models import Cloth
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.registry import JobContext, handler
from workshop.orders.models import Draft, Order
from workshop.orders.queries.garments import FILES_JOB, LAYS_JOB
from workshop.orders.queries.joint_lays import JOINT_JOB, drafts_of
from workshop.orders.queries.lays import LENGTHS_JOB
from workshop.orders.queries.orders import PAPER_JOB
from workshop.orders.services.filing import GONE, make_paper, make_pattern_files
from workshop.orders.services.laying import SECONDS_A_LAY, lay_and_estimate
from workshop.orders.services.laying_on_lengths import lay_on_lengths
from workshop.orders.services.laying_together import make_joint_lay
from workshop.orders.services.letters import send_letter
from workshop.orders.services.superseding import OLD_FILES_JOB
from workshop.people.models import Staff
from workshop.people.queries import workshops_that_erase, workshops_with_old_submissions
from workshop.people.services import erase_expired_wearers, forget_submissions
from workshop.people.services.submissions import KEPT_FOR


def _draft(job: JobContext) -> Draft:
    """The job's draft. Raises: Refusal where it was erased since."""
    rows = Draft.objects.select_related("workshop", "garment__workshop", "garment__wearer", "garment__order")
    draft = rows.filter(pk=job.params["draft"]).first()
    if draft is None:
        raise Refusal(GONE)
    return draft


@handler(FILES_JOB)
def pattern_files(job: JobContext) -> None:
    make_pattern_files(draft=_draft(job), job=job, now=timezone.now())


@handler(OLD_FILES_JOB)
def superseded_files(job: JobContext) -> None:
    """The files of a superseded draft are made again, with the mark on each sheet."""
    make_pattern_files(draft=_draft(job), job=job, now=timezone.now())


@handler(LAYS_JOB)
def lay_plans(job: JobContext) -> None:
    lay_and_estimate(
        draft=_draft(job),
        now=timezone.now(),
        progress=job.progress,
        cancelled=job.is_cancelled,
        seconds=job.params.get("seconds", SECONDS_A_LAY),
    )


@handler(JOINT_JOB)
def joint_lay(job: JobContext) -> None:
    cloth = Cloth.objects.select_related("workshop").get(pk=job.params["cloth"])
    joint = make_joint_lay(
        cloth=cloth,
        drafts=drafts_of(job.workshop, job.params["drafts"]),
        now=timezone.now(),
        progress=job.progress,
        cancelled=job.is_cancelled,
        seconds=job.params["seconds"],
    )
    job.result["joint"] = joint.pk


@handler(LENGTHS_JOB)
def lay_on_shelf(job: JobContext) -> None:
    lay_on_lengths(
        draft=_draft(job),
        role=job.params["role"],
        lengths=job.params["lengths"],
        by=Staff.objects.filter(pk=job.params["by"]).first(),
        now=timezone.now(),
        progress=job.progress,
        cancelled=job.is_cancelled,
    )


@handler(PAPER_JOB)
def paper(job: JobContext) -> None:
    order = Order.objects.select_related("workshop", "client").get(pk=job.params["order"])
    make_paper(
        order=order, kind=job.params["kind"], source_id=job.params["source"], job=job, now=timezone.now()
    )
    if job.params["letter"]:
        name, quote_id = job.params["letter"], job.params["source"]
        send_letter(order=order, name=name, quote_id=quote_id, job=job, now=timezone.now())


@handler("erase_expired")
def erase_expired(job: JobContext) -> None:
    """Erase the wearers whose day is past. Those of a garment in work stay; the rail names them."""
    erased, refused = erase_expired_wearers(workshop=job.workshop, now=timezone.now())
    job.result.update(erased=len(erased), kept=len(refused))


@handler("forget_submissions")
def forget_old_submissions(job: JobContext) -> None:
    job.result["forgotten"] = forget_submissions(workshop=job.workshop, now=timezone.now())


jobs.daily("erase_expired", workshops_that_erase)
jobs.daily("forget_submissions", lambda now: workshops_with_old_submissions(now - KEPT_FOR))
