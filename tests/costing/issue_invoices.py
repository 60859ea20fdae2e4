"""Issues the final invoice of each quote named: a process of its own for the test of numbers.

Run: python -m tests.costing.issue_invoices QUOTE_ID ... (with DATABASE_URL). It waits for a line on its
standard input, so that several of them begin together.
"""

from __future__ import annotations

import sys

import django


def main() -> None:
    django.setup()
    from costing.models import Quote
    from costing.services import issue_final_invoice
    from tests.costing.papers import issuing

    quotes = [Quote.objects.select_related("workshop").get(pk=int(pk)) for pk in sys.argv[1:]]
    print("ready", flush=True)
    sys.stdin.readline()
    for quote in quotes:
        print(issue_final_invoice(quote=quote, **issuing()).number, flush=True)


if __name__ == "__main__":
    main()
