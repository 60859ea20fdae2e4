"""Changes of the price list, the stock and the papers."""

from __future__ import annotations

from costing.services.estimates import store_estimate, supersede_estimate
from costing.services.importing import RowRead, import_table, try_import
from costing.services.invoices import credit_invoice, issue_deposit_invoice, issue_final_invoice, lines_left
from costing.services.learnt import keep_learnt
from costing.services.payments import issue_receipt, record_payment
from costing.services.pricelist import (
    ChangedMeanwhile,
    add_cloth,
    add_notion,
    archive_cloth,
    edit_cloth,
    edit_notion,
    set_rates,
)
from costing.services.quotes import (
    accept_quote,
    decline_quote,
    send_quote,
    settle_choice,
    withdraw_quote,
    write_quote,
)
from costing.services.stock import (
    NotInStock,
    buy_cloth,
    buy_notion,
    cut_cloth,
    drop_flaw,
    note_flaw,
    pass_on_notion,
    release_cloth,
    release_length,
    reserve_cloth,
    return_cloth,
    waste_cloth,
)
from costing.services.swatches import drop_swatch, set_swatch

__all__ = [
    "ChangedMeanwhile",
    "NotInStock",
    "RowRead",
    "accept_quote",
    "add_cloth",
    "add_notion",
    "archive_cloth",
    "buy_cloth",
    "buy_notion",
    "credit_invoice",
    "cut_cloth",
    "decline_quote",
    "drop_flaw",
    "drop_swatch",
    "edit_cloth",
    "edit_notion",
    "import_table",
    "issue_deposit_invoice",
    "issue_final_invoice",
    "issue_receipt",
    "keep_learnt",
    "lines_left",
    "note_flaw",
    "pass_on_notion",
    "record_payment",
    "release_cloth",
    "release_length",
    "reserve_cloth",
    "return_cloth",
    "send_quote",
    "set_rates",
    "set_swatch",
    "settle_choice",
    "store_estimate",
    "supersede_estimate",
    "try_import",
    "waste_cloth",
    "withdraw_quote",
    "write_quote",
]
