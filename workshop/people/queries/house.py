"""The drafting rules of a workshop that hold now."""

from __future__ import annotations

from collections.abc import Mapping

from drafting.house import house_rules
from workshop.people.models import HouseRules, Workshop


def current_house_rules(workshop: Workshop) -> HouseRules | None:
    """The newest version; None while the workshop keeps every default."""
    return HouseRules.objects.filter(workshop=workshop).order_by("-version").first()


def house_version(workshop: Workshop) -> int:
    """The version to hand back as ``expected_version``; 0 where none is stored."""
    rules = current_house_rules(workshop)
    return rules.version if rules else 0


def house_values(workshop: Workshop) -> Mapping[str, float]:
    """Every rule with the value that holds, defaults filled in."""
    rules = current_house_rules(workshop)
    return house_rules(rules.values if rules else {})
