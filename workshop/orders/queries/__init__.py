"""Reading orders, garments and what was computed for them; every query starts from one workshop."""

from __future__ import annotations

from workshop.orders.queries.facts import facts_of, facts_of_one, moves, next_need, next_needs
from workshop.orders.queries.garments import (
    current_draft,
    current_estimate,
    current_lays,
    cutting_lines,
    draft_of,
    files_job,
    files_of,
    garment_of,
    lays_job,
    line_of,
    needed_roles,
    pattern_of,
    to_cut,
)
from workshop.orders.queries.orders import (
    balance,
    current_link,
    is_about_money,
    link_address,
    link_of,
    order_of,
    orders,
    paper_jobs,
    papers_of,
    waiting_for_owner,
)

__all__ = [
    "balance",
    "current_draft",
    "current_estimate",
    "current_lays",
    "current_link",
    "cutting_lines",
    "draft_of",
    "facts_of",
    "facts_of_one",
    "files_job",
    "files_of",
    "garment_of",
    "is_about_money",
    "lays_job",
    "line_of",
    "link_address",
    "link_of",
    "moves",
    "needed_roles",
    "next_need",
    "next_needs",
    "order_of",
    "orders",
    "paper_jobs",
    "papers_of",
    "pattern_of",
    "to_cut",
    "waiting_for_owner",
]
