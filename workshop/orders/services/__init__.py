"""Changes of orders and garments, from taking one to handing it over."""

from __future__ import annotations

from workshop.orders.services.answering import accept_quote, decline_quote, withdraw_link
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.buying import (
    ListChanged,
    buy_listed_cloth,
    buy_listed_notion,
    take_over_notion,
)
from workshop.orders.services.cutting import note_cut_length
from workshop.orders.services.drafting import (
    DRAFTED_AT,
    draft_garment,
    request_files,
    request_lay_plans,
    request_outputs,
    waive_checks,
)
from workshop.orders.services.erasing import erase_drafts_of
from workshop.orders.services.estimating import estimate_garment
from workshop.orders.services.flaws import note_flaw
from workshop.orders.services.laying import CannotLay, fix_way, make_lay_plans
from workshop.orders.services.laying_on_lengths import lay_on_lengths, request_lay_on_lengths
from workshop.orders.services.laying_together import (
    CannotJoin,
    lay_apart,
    make_joint_lay,
    request_joint_lay,
)
from workshop.orders.services.letters import settle_letter
from workshop.orders.services.moving import CannotMove, move_garment, tick_cutting_line, untick_cutting_line
from workshop.orders.services.offering import drop_option, offer_alternative
from workshop.orders.services.operations import restore_operations, revise_operations
from workshop.orders.services.papers import credit_invoice, issue_invoice, record_payment
from workshop.orders.services.parcels import (
    expect_parcel,
    give_up_parcel,
    order_listed_cloth,
    receive_parcel,
)
from workshop.orders.services.quoting import prepare_quote, send_quote, withdraw_quote
from workshop.orders.services.stocking import mark_cloth_bought, reserve_waiting
from workshop.orders.services.taking import (
    GarmentWish,
    add_garment,
    cancel_order,
    change_garment,
    edit_order,
    set_measurements,
    stand_in,
    take_order,
)
from workshop.orders.services.terms import choose_tax_rate, set_rush_and_discount
from workshop.orders.services.what_if import WhatIf, WhatIfReckoned, reckon_what_if

__all__ = [
    "DRAFTED_AT",
    "CannotJoin",
    "CannotLay",
    "CannotMove",
    "GarmentWish",
    "ListChanged",
    "WhatIf",
    "WhatIfReckoned",
    "accept_quote",
    "add_garment",
    "ask_for_plan",
    "buy_listed_cloth",
    "buy_listed_notion",
    "cancel_order",
    "change_garment",
    "choose_tax_rate",
    "credit_invoice",
    "decline_quote",
    "draft_garment",
    "drop_option",
    "edit_order",
    "erase_drafts_of",
    "estimate_garment",
    "expect_parcel",
    "fix_way",
    "give_up_parcel",
    "issue_invoice",
    "lay_apart",
    "lay_on_lengths",
    "make_joint_lay",
    "make_lay_plans",
    "mark_cloth_bought",
    "move_garment",
    "note_cut_length",
    "note_flaw",
    "offer_alternative",
    "order_listed_cloth",
    "prepare_quote",
    "receive_parcel",
    "reckon_what_if",
    "record_payment",
    "request_files",
    "request_joint_lay",
    "request_lay_on_lengths",
    "request_lay_plans",
    "request_outputs",
    "reserve_waiting",
    "restore_operations",
    "revise_operations",
    "send_quote",
    "set_measurements",
    "set_rush_and_discount",
    "settle_letter",
    "stand_in",
    "take_order",
    "take_over_notion",
    "tick_cutting_line",
    "untick_cutting_line",
    "waive_checks",
    "withdraw_link",
    "withdraw_quote",
]
