"""Two revisions line by line. The changes add up to the difference of the totals."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One line as a revision holds it. `counts` is False for an option that was not taken."""

    kind: str
    section: str
    name: str
    description: str
    quantity: Decimal
    minutes: int
    unit_cents: int
    discount_bp: int
    amount_cents: int
    counts: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One line in both revisions; None where a revision does not hold it."""

    before: Side | None
    after: Side | None

    @property
    def either(self) -> Side:
        """The line as it is now, or as it was when it is gone."""
        side = self.after or self.before
        assert side is not None
        return side

    @property
    def change_cents(self) -> int:
        return _counted(self.after) - _counted(self.before)

    @property
    def word(self) -> str:
        if self.before is None:
            return "added"
        if self.after is None:
            return "removed"
        return "same" if self.before == self.after else "changed"


def _counted(side: Side | None) -> int:
    return side.amount_cents if side and side.counts else 0


def compare(before: Sequence[Side], after: Sequence[Side]) -> tuple[Change, ...]:
    """Pair lines of the same kind and name: in the order of the later revision, then the gone."""
    waiting: dict[tuple[str, str], list[Side]] = defaultdict(list)
    for side in before:
        waiting[_key(side)].append(side)
    changes = []
    for side in after:
        same = waiting[_key(side)]
        changes.append(Change(before=same.pop(0) if same else None, after=side))
    gone = [Change(before=side, after=None) for sides in waiting.values() for side in sides]
    return (*changes, *gone)


def _key(side: Side) -> tuple[str, str]:
    return side.kind, side.name


def total_change_cents(changes: Iterable[Change]) -> int:
    return sum(change.change_cents for change in changes)
