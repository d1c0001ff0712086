"""What the shop earns on the parts. Internal: no customer page or print imports this."""

from dataclasses import dataclass
from decimal import Decimal

from jobs.quoting.models import LineKind, Quote
from jobs.quoting.pricing import half_up

BOUGHT = (LineKind.PART, LineKind.SUBLET)


@dataclass(frozen=True, kw_only=True, slots=True)
class Margin:
    """Only lines whose cost is known; `unknown` counts the others that have a price."""

    net_cents: int
    cost_cents: int
    known: int
    unknown: int

    @property
    def cents(self) -> int:
        return self.net_cents - self.cost_cents

    @property
    def basis_points(self) -> int | None:
        """Share of the net price; None when there is nothing to take a share of."""
        if self.net_cents <= 0:
            return None
        return half_up(Decimal(self.cents) * 10_000 / self.net_cents)


def margin_of(quote: Quote) -> Margin:
    lines = [line for line in quote.lines.all() if line.kind in BOUGHT and line.amount_cents]
    known = [line for line in lines if line.cost_cents is not None]
    return Margin(
        net_cents=sum(line.amount_cents for line in known),
        cost_cents=sum(half_up(line.quantity * (line.cost_cents or 0)) for line in known),
        known=len(known),
        unknown=len(lines) - len(known),
    )
