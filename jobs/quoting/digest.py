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


# Terms and facts that came later: they count where they say something, so that what was offered
# before them keeps its digest.
LATER_TERMS = {
    "labour_rates": [],
    "contract_id": None,
    "excluded_sections": [],
    "unit_count": 1,
    "repeat_bp": 10_000,
    "deposit_bp": 0,
    "fee_bp": 0,
}


def quote_digest(quote: Quote) -> str:
    lines = list(quote.lines.values(*LINE_FACTS, "labour_class"))
    for line in lines:
        if not line["labour_class"]:
            del line["labour_class"]
        line["quantity"] = f"{line['quantity']:.2f}"
    return _digest(
        {**_facts(quote, QUOTE_TERMS), **_later(quote), "job": quote.job_id, "lines": lines}
    )


def _later(quote: Quote) -> dict[str, Any]:
    found = {name: getattr(quote, name) for name in LATER_TERMS}
    return {name: value for name, value in found.items() if value != LATER_TERMS[name]}


def change_digest(change: ChangeOrder) -> str:
    facts = _facts(change, CHANGE_FACTS)
    if change.edits:  # what it does to the vehicle came later than the first changes
        facts |= {"edits": change.edits, "effect": change.effect.get("sentences", [])}
    return _digest({**facts, "job": change.job_id, "quote": change.quote_id})


def _facts(row: Quote | ChangeOrder, names: tuple[str, ...]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _digest(content: dict[str, Any]) -> str:
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()
