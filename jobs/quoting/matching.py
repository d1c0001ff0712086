"""Does the customer's order fit what was quoted? Every mismatch is named in a sentence."""

from dataclasses import dataclass
from datetime import date

from jobs.quoting.words import day_words, money_words


@dataclass(frozen=True, kw_only=True, slots=True)
class OrderFacts:
    """What stands on the customer's order."""

    revision: str
    total_cents: int
    bill_to: str
    received_on: date
    contract: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class QuoteFacts:
    """What the approved (or, before an answer, the offered) revision says.

    `changes_cents` are the approved change orders; an order for quote plus changes fits as well.
    """

    number: str
    revision: str
    approved: bool
    total_cents: int
    changes_cents: int
    bill_to: str
    valid_until: date
    contract: str = ""
    # How orders under the contract must come.
    route: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherRevision:
    revision: str
    total_cents: int
    state: str


def mismatches(
    order: OrderFacts, quote: QuoteFacts | None, others: tuple[OtherRevision, ...] = ()
) -> list[str]:
    """Why the order must be held. Empty: it fits."""
    if quote is None:
        return [
            "No revision of the quote is approved, so the order has nothing to be matched with."
        ]
    found = [
        *_revision(order, quote, others),
        *_total(order, quote, others),
        *_bill_to(order, quote),
        *_contract(order, quote),
    ]
    if not quote.approved:
        found.append(
            f"Revision {quote.revision} is offered but not approved; "
            "only an approved revision can be ordered."
        )
        if order.received_on > quote.valid_until:
            found.append(
                f"The order came on {day_words(order.received_on)}; the quote was valid until "
                f"{day_words(quote.valid_until)}."
            )
    return found


def _revision(order: OrderFacts, quote: QuoteFacts, others: tuple[OtherRevision, ...]) -> list[str]:
    if order.revision == quote.revision:
        return []
    named = next((one for one in others if one.revision == order.revision), None)
    there = f"which is {named.state}" if named else "which does not exist"
    return [
        f"The order names revision {order.revision or '(none)'}, {there}; "
        f"revision {quote.revision} is {'approved' if quote.approved else 'offered'}."
    ]


def _total(order: OrderFacts, quote: QuoteFacts, others: tuple[OtherRevision, ...]) -> list[str]:
    contract = quote.total_cents + quote.changes_cents
    if order.total_cents in (quote.total_cents, contract):
        return []
    difference = order.total_cents - contract
    direction = "less" if difference < 0 else "more"
    sentence = (
        f"The order's total is {money_words(order.total_cents)}; "
        f"the contract is {money_words(contract)} "
        f"({money_words(abs(difference))} {direction} on the order)."
    )
    fits = next((one for one in others if one.total_cents == order.total_cents), None)
    if fits:
        sentence += f" It is the total of revision {fits.revision}."
    return [sentence]


def _bill_to(order: OrderFacts, quote: QuoteFacts) -> list[str]:
    if _words(order.bill_to) == _words(quote.bill_to):
        return []
    return [
        f"The order is billed to '{order.bill_to or 'nobody'}'; "
        f"the quote is addressed to '{quote.bill_to}'."
    ]


def _contract(order: OrderFacts, quote: QuoteFacts) -> list[str]:
    """Work under a contract must be ordered under it, and only then."""
    if _words(order.contract) == _words(quote.contract):
        return []
    named = f"contract {order.contract}" if order.contract else "no contract"
    under = f"contract {quote.contract}" if quote.contract else "no contract"
    route = f" Orders under it: {quote.route}." if quote.route else ""
    return [f"The order names {named}; the quote is under {under}.{route}"]


def _words(text: str) -> list[str]:
    """An address without its line breaks, commas and capitals."""
    return text.casefold().replace(",", " ").replace(".", " ").split()
