"""What price contracts and classes of work mean for a quote's terms."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from jobs.quoting.models import LabourClass, Quote
from jobs.quoting.words import day_words


def labour_rates() -> list[dict[str, Any]]:
    """The shop's other classes of work as a quote keeps them."""
    return [
        {"name": one.name, "cents": one.cents_per_hour, "sections": one.sections}
        for one in LabourClass.objects.all()
    ]


def by_contract(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Terms with discount and exclusions as the chosen contract says for so many units."""
    contract = fields.get("contract")
    if contract is None:
        gone = {"excluded_sections": [], "fee_bp": 0} if "contract" in fields else {}
        return {**fields, **gone}
    units = fields.get("unit_count", 1)
    return {
        **fields,
        "discount_bp": contract.discount_bp(units),
        "excluded_sections": list(contract.excluded),
        "fee_bp": contract.fee_bp,
    }


def contract_problems(quote: Quote, on: date) -> list[str]:
    """Why the contract that a quote names does not carry it."""
    contract = quote.contract
    if contract is None:
        return []
    name = f"Contract {contract.number}"
    if on < contract.valid_from:
        return [f"{name} starts on {day_words(contract.valid_from)}. Take it off or wait."]
    if on > contract.valid_until:
        return [f"{name} ended on {day_words(contract.valid_until)}. Take it off or renew it."]
    if quote.valid_until > contract.valid_until:
        return [
            f"{name} ends on {day_words(contract.valid_until)}, before the quote does on "
            f"{day_words(quote.valid_until)}. Shorten the validity."
        ]
    wanted = (contract.discount_bp(quote.unit_count), contract.fee_bp, set(contract.excluded))
    if (quote.discount_bp, quote.fee_bp, set(quote.excluded_sections)) != wanted:
        return [f"{name} says something else by now. Save the terms once more."]
    return []
