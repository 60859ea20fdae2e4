"""The lay plan: how the pieces of a draft lie on a cloth, and the length of it to buy.

``items_for`` turns a draft into what is laid, ``plan_lay`` lays it, ``verify`` proves a plan, ``lay_svg``
(``picture``) draws it. The packing itself knows nothing of cloth: see ``strip``.
"""

from __future__ import annotations

from drafting.layplan.cloth import Cloth, buy_length, read_cloth
from drafting.layplan.items import Layer, LayItem, read_items
from drafting.layplan.lengths import Flaw, Stretch
from drafting.layplan.matching import matches_of
from drafting.layplan.pins import items_for, items_together
from drafting.layplan.plan import LayPlan, Placed, Used
from drafting.layplan.refusals import DoesNotFit, TooWide
from drafting.layplan.runner import plan_lay
from drafting.layplan.verify import verify
from drafting.layplan.ways import Way, ways_of

__all__ = [
    "Cloth",
    "DoesNotFit",
    "Flaw",
    "LayItem",
    "LayPlan",
    "Layer",
    "Placed",
    "Stretch",
    "TooWide",
    "Used",
    "Way",
    "buy_length",
    "items_for",
    "items_together",
    "matches_of",
    "plan_lay",
    "read_cloth",
    "read_items",
    "verify",
    "ways_of",
]
