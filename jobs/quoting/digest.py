"""What an approval is bound to: one SHA-256 over every line, every term and the total."""

import hashlib
import json
from typing import Any

from jobs.quoting.models import ChangeOrder, Quote

QUOTE_TERMS = (
    "number",
    "revision",
    "price_date",
    "valid_until",
    "labour_rate_cents",
    "discount_bp",
    "supplies_bp",
    "tax",
    "tax_bp",
    "labour_taxable",
    "certificate",
    "note",
    "terms",
    "exclusions",
    "total_cents",
)
LINE_FACTS = (
    "position",
    "section",
    "kind",
    "ref",
    "code",
    "description",
    "quantity",
    "unit_cents",
    "discount_bp",
    "minutes",
    "taxable",
    "firm",
    "chosen",
    "amount_cents",
    "tax_cents",
)
CHANGE_FACTS = ("number", "title", "reason", "asked_by", "days", "note", "lines", "amount_cents")


def quote_digest(quote: Quote) -> str:
    lines = list(quote.lines.values(*LINE_FACTS))
    for line in lines:
        line["quantity"] = f"{line['quantity']:.2f}"
    return _digest({**_facts(quote, QUOTE_TERMS), "job": quote.job_id, "lines": lines})


def change_digest(change: ChangeOrder) -> str:
    facts = _facts(change, CHANGE_FACTS)
    return _digest({**facts, "job": change.job_id, "quote": change.quote_id})


def _facts(row: Quote | ChangeOrder, names: tuple[str, ...]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _digest(content: dict[str, Any]) -> str:
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()
