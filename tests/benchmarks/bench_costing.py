"""How long an estimate and a printed paper take, and how well minutes are learnt: one JSON line each.

``ratio`` is the time over that of the garment's draft, made in the same run on the same machine;
``limit_s`` is the limit of the design: an estimate 0.02 s once the draft is there, a paper 0.5 s.
``cpu_s`` is the processor's time for it: on a busy machine the clock says more.

Run: python -m tests.benchmarks.bench_costing
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from time import perf_counter, process_time

import django

from costing.rules.estimate import Estimate, HourRates, Pricing, estimate, thread_use
from costing.rules.materials import ClothNeed
from costing.rules.operation_list import operations
from costing.rules.tax import TaxedLine, TaxKey, totals
from drafting import make_draft
from drafting.body import Body
from drafting.output.garment import garment_svg
from drafting.pattern import Draft
from tests.costing.simulated_logs import GARMENTS, average_errors

BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0}
ESTIMATE_LIMIT_S, PAPER_LIMIT_S = 0.020, 0.5
TAX = TaxKey.of(Decimal(16))


def lined_dress() -> Draft:
    return make_draft("notched-collar-dress", Body.of(BODY), {"lining": "full"})


def reckoned(draft: Draft) -> Estimate:
    """The estimate of a lined dress from its draft."""
    work = operations(draft)
    thread = thread_use(work, reel_metres=200, price_each=Decimal("2.10"), name="thread")
    return estimate(
        currency="EUR",
        cloths=[
            ClothNeed("shell", "satin", 3410.0, Decimal("18.50")),
            ClothNeed("lining", "twill", 2900.0, Decimal("7.20")),
        ],
        notions=[thread],
        operations=work,
        rates=HourRates(Decimal("12.00"), Decimal("4.25")),
        pricing=Pricing(margin=Decimal("0.15"), tax=TAX, friendly_step=Decimal(5)),
    )


def paper_rows(draft: Draft, *, electronic: bool = False) -> tuple[object, object]:
    """A quote of two garments with drawings, and an invoice; not stored."""
    from costing.models import Invoice, Quote
    from costing.services.invoices import groups_json
    from workshop.people.models import Workshop

    price = reckoned(draft)
    made = totals([TaxedLine(price.net, TAX)] * 2, currency="EUR")
    garment = {
        "title": "Notched-collar dress",
        "wearer": "Ada",
        "drawing": garment_svg(draft),
        "choices": [["Pleats", "knife pleats"], ["Lining", "bodice and skirt"]],
        "cloths": ["shell: Satin"],
        "amount": str(price.total),
    }
    line = {"words": "Notched-collar dress", "net": str(price.net), "category": "S", "rate": "16"}
    content = {
        "order": {"number": 1, "occasion": "Wedding", "due_on": "2027-03-20"},
        "seller": {"name": "Mill Lane Dressmaking"},
        "buyer": {"name": "Adaeze Nwosu"},
        "garments": [garment, garment],
        "lines": [line, line],
        "groups": groups_json(made),
        "tax_label": "VAT",
        "terms": "Half is due before the cloth is cut.",
        "quote_version": 1,
        "electronic": electronic,
    }
    money = {"currency": "EUR", "content": content, "net": made.net, "tax": made.tax, "gross": made.gross}
    now = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
    day = date(2026, 12, 16)
    mill = Workshop(name="Mill Lane Dressmaking")
    quote = Quote(
        workshop=mill,
        order_id=1,
        version=1,
        deposit=Decimal(100),
        valid_until_on=day,
        created_at=now,
        **money,
    )
    invoice = Invoice(workshop_id=1, kind="final", year=2026, number=1, issued_on=day, due_on=day, **money)
    return quote, invoice


def median_seconds(
    work: Callable[[], object], times: int, clock: Callable[[], float] = perf_counter
) -> float:
    """Median of several runs after one that warms up."""
    work()
    taken = []
    for _ in range(times):
        start = clock()
        work()
        taken.append(clock() - start)
    return sorted(taken)[times // 2]


def report(name: str, seconds: float, cpu: float, limit: float, draft_seconds: float) -> None:
    print(
        json.dumps(
            {
                "bench": name,
                "seconds": round(seconds, 4),
                "cpu_s": round(cpu, 4),
                "limit_s": limit,
                "draft_seconds": round(draft_seconds, 4),
                "ratio": round(seconds / draft_seconds, 3),
            }
        )
    )


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    django.setup()
    from costing.documents import render_invoice_pdf, render_quote_pdf

    draft = lined_dress()
    drafting = median_seconds(lined_dress, 5)
    quote, invoice = paper_rows(draft)
    _, electronic = paper_rows(draft, electronic=True)
    for name, work, times, limit in (
        ("estimate of a lined dress", lambda: reckoned(draft), 21, ESTIMATE_LIMIT_S),
        ("quote of two garments as PDF", lambda: render_quote_pdf(quote), 5, PAPER_LIMIT_S),
        ("invoice as PDF", lambda: render_invoice_pdf(invoice), 5, PAPER_LIMIT_S),
        ("invoice with its e-invoice as PDF", lambda: render_invoice_pdf(electronic), 5, PAPER_LIMIT_S),
    ):
        cpu = median_seconds(work, times, process_time)
        report(name, median_seconds(work, times), cpu, limit, drafting)
    report_learning()


def report_learning() -> None:
    """Mean error of a garment's expected minutes on simulated logs of known truth, with and without
    correction."""
    for count in GARMENTS:
        corrected, uncorrected, within = average_errors(count)
        print(
            json.dumps(
                {
                    "bench": f"learning after {count} garments",
                    "error": round(corrected, 4),
                    "error_uncorrected": round(uncorrected, 4),
                    "ratio": round(corrected / uncorrected, 3),
                    "within_cautious": round(within, 3),
                }
            )
        )


if __name__ == "__main__":
    main()
