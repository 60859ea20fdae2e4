"""Staff: a user in a workshop, the owner or an apprentice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from workshop.errors import Refusal
from workshop.people.models import Role, Staff, Workshop
from workshop.people.rules.working_week import BadTimes, Span, as_kept, check_week
from workshop.people.services.checking import clean_text, refuse_edited, require_owner, require_same_workshop
from workshop.people.services.log import changed, write_log

SKILLS = ("cut", "prepare", "sew", "press", "finish", "fit", "alter")
TAKEN = "That sign-in name is taken; choose another."
_WEEK_MINUTES = 7 * 24 * 60


@transaction.atomic
def add_staff(
    *,
    workshop: Workshop,
    name: str,
    username: str,
    password: str,
    role: str,
    skills: Sequence[str] = (),
    hourly_wage: Decimal = Decimal(0),
    speed: Decimal = Decimal(1),
    weekly_minutes: int = 2400,
    working_week: Sequence[Span] = (),
    by: Staff | None,
    now: datetime,
) -> Staff:
    """Add a person who can sign in.

    Args:
        working_week: the person's own times in the workshop's zone; without any it is there for a share,
            ``weekly_minutes`` of the week, of each opening.

    Raises: Refusal with ``field``.
    """
    require_owner(by, "add people to the workshop")
    require_same_workshop(workshop, by)
    users = get_user_model()
    username = clean_text(username, field="username", longest=150, what="the sign-in name", required=True)
    if users.objects.filter(username=username).exists():
        raise Refusal(TAKEN, field="username")
    try:
        validate_password(password)
    except ValidationError as problem:
        raise Refusal(" ".join(problem.messages), field="password") from None
    values = _clean(
        name=name,
        role=role,
        skills=skills,
        hourly_wage=hourly_wage,
        speed=speed,
        weekly_minutes=weekly_minutes,
        working_week=working_week,
    )
    try:
        with transaction.atomic():
            user = users.objects.create_user(username=username, password=password)
    except IntegrityError:  # somebody took the name since it was looked for
        raise Refusal(TAKEN, field="username") from None
    staff = Staff.objects.create(workshop=workshop, user=user, **values)
    write_log(
        workshop=workshop,
        by=by,
        action="add staff",
        row=staff,
        summary=f"Added {staff.name} as {staff.role}",
        now=now,
        after=values,
    )
    return staff


@transaction.atomic
def edit_staff(
    *,
    staff: Staff,
    expected_version: int,
    name: str,
    role: str,
    skills: Sequence[str] = (),
    hourly_wage: Decimal = Decimal(0),
    speed: Decimal = Decimal(1),
    weekly_minutes: int = 2400,
    working_week: Sequence[Span] = (),
    active: bool = True,
    by: Staff | None,
    now: datetime,
) -> Staff:
    """Change a person's role, skills, wage and hours; see ``add_staff``.

    Raises: EditedMeanwhile where somebody changed it after ``expected_version``; Refusal with ``field``, also
    where the last active owner would be gone.
    """
    require_owner(by, "change the people of the workshop")
    require_same_workshop(staff.workshop, by)
    values: dict[str, object] = {
        **_clean(
            name=name,
            role=role,
            skills=skills,
            hourly_wage=hourly_wage,
            speed=speed,
            weekly_minutes=weekly_minutes,
            working_week=working_week,
        ),
        "active": active,
    }
    Workshop.objects.select_for_update().get(pk=staff.workshop_id)  # two owners must not retire one another
    staff = Staff.objects.select_related("workshop").get(pk=staff.pk)
    refuse_edited(staff, expected_version)
    others = Staff.objects.filter(workshop=staff.workshop, role=Role.OWNER, active=True).exclude(pk=staff.pk)
    if (role != Role.OWNER or not active) and not others.exists():
        raise Refusal("A workshop needs an owner who can sign in: name another owner first.", field="role")
    before, after = changed({field: getattr(staff, field) for field in values}, values)
    for field, value in values.items():
        setattr(staff, field, value)
    staff.version += 1
    staff.save(update_fields=[*values, "version"])
    write_log(
        workshop=staff.workshop,
        by=by,
        action="edit staff",
        row=staff,
        summary=f"Changed {staff.name}'s entry",
        now=now,
        before=before,
        after=after,
    )
    return staff


def _clean(
    *,
    name: str,
    role: str,
    skills: Sequence[str],
    hourly_wage: Decimal,
    speed: Decimal,
    weekly_minutes: int,
    working_week: Sequence[Span],
) -> dict[str, object]:
    if role not in Role.values:
        raise Refusal("Choose owner or apprentice.", field="role")
    unknown = [skill for skill in skills if skill not in SKILLS]
    if unknown:
        raise Refusal(f"{unknown[0]} is no kind of work; choose among {', '.join(SKILLS)}.", field="skills")
    if not hourly_wage.is_finite() or not 0 <= hourly_wage < 10**6:
        raise Refusal("Enter the wage of an hour, zero or more.", field="hourly_wage")
    if not speed.is_finite() or not Decimal("0.1") <= speed <= 3:
        raise Refusal("A speed is between 0.1 and 3; 1 is the standard, 0.5 half as fast.", field="speed")
    if not 0 <= weekly_minutes <= _WEEK_MINUTES:
        raise Refusal("Enter the hours of a week, at most 168.", field="weekly_minutes")
    try:
        check_week(working_week)
    except BadTimes as problem:
        raise Refusal(str(problem), field="working_week") from None
    return {
        "name": clean_text(name, field="name", longest=80, what="the name", required=True),
        "role": role,
        "skills": [skill for skill in SKILLS if skill in skills],
        "hourly_wage": hourly_wage,
        "speed": speed,
        "weekly_minutes": weekly_minutes,
        "working_week": as_kept(working_week),
    }
