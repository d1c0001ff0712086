"""Who gets what of one part: stock first, then what is on order, the earliest need first."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, kw_only=True, slots=True)
class Need:
    """So many pieces of a part that one build line still lacks, by a day when it is known."""

    job: str
    ref: str
    pieces: int
    by: date | None = None
    stage: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Share:
    """What a need gets. The three add up to its pieces."""

    need: Need
    from_stock: int
    from_orders: int

    @property
    def short(self) -> int:
        return self.need.pieces - self.from_stock - self.from_orders


def allocate(needs: Iterable[Need], *, in_stock: int, on_order: int) -> list[Share]:
    """Shares in the order of need: dated ones first, then as jobs are numbered."""
    stock, orders = max(0, in_stock), max(0, on_order)
    shares = []
    for need in sorted(needs, key=lambda one: (one.by or date.max, one.job, one.ref)):
        now = min(need.pieces, stock)
        later = min(need.pieces - now, orders)
        stock, orders = stock - now, orders - later
        shares.append(Share(need=need, from_stock=now, from_orders=later))
    return shares
