"""What fittings keep of a body goes with it."""

from __future__ import annotations

from datetime import datetime

from workshop.people.models import Wearer
from workshop.people.services import also_erases
from workshop.planning.models import Fitting, FittingChange


@also_erases
def erase_findings_of(wearer: Wearer, now: datetime) -> None:
    """Erase what was found at the fittings of a wearer: changes, notes, and who signed them off.

    That there was a fitting, and when, stays: the workshop's calendar is no personal datum.
    """
    fittings = Fitting.objects.filter(garment__wearer=wearer)
    FittingChange.objects.filter(fitting__in=fittings).delete()
    fittings.update(notes="", signed_by="")
