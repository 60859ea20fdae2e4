"""The lay plan: how the pieces of a draft lie on a cloth, and the length of it to buy.

``items_for`` turns a draft into what is laid, ``plan_lay`` lays it, ``verify`` proves a plan, ``lay_svg``
(``picture``) draws it. The packing itself knows nothing of cloth: see ``strip``.
"""

from __future__ import annotations

from drafting.layplan.cloth import Cloth, buy_length, read_cloth
from drafting.layplan.items import Layer, LayItem, items_for, items_together, read_items
from drafting.layplan.plan import LayPlan, Placed
from drafting.layplan.runner import plan_lay
from drafting.layplan.verify import verify

__all__ = [
    "Cloth",
    "LayItem",
    "LayPlan",
    "Layer",
    "Placed",
    "buy_length",
    "items_for",
    "items_together",
    "plan_lay",
    "read_cloth",
    "read_items",
    "verify",
]
