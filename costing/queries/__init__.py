"""What is asked about prices, stock and papers; every query starts from one workshop or one order."""

from __future__ import annotations

from costing.queries.papers import (
    Balance,
    balance_of,
    balances,
    current_estimate,
    invoice_of,
    invoices_of,
    payments_of,
    quote_of,
    quote_out,
    quotes_of,
)
from costing.queries.prices import (
    RESERVED_SIGN,
    Stock,
    cloth_of,
    cloths,
    free_lengths_of,
    moves_of,
    notion_of,
    notions,
    rates_of,
    reserved_for,
    stock_of,
)
from costing.queries.statements import (
    Held,
    MonthSales,
    OpenInvoice,
    deposits_held,
    open_invoices,
    sales_by_month,
)

__all__ = [
    "RESERVED_SIGN",
    "Balance",
    "Held",
    "MonthSales",
    "OpenInvoice",
    "Stock",
    "balance_of",
    "balances",
    "cloth_of",
    "cloths",
    "current_estimate",
    "deposits_held",
    "free_lengths_of",
    "invoice_of",
    "invoices_of",
    "moves_of",
    "notion_of",
    "notions",
    "open_invoices",
    "payments_of",
    "quote_of",
    "quote_out",
    "quotes_of",
    "rates_of",
    "reserved_for",
    "sales_by_month",
    "stock_of",
]
