"""What the customer owes: the approved quote plus the approved changes to it."""

from dataclasses import dataclass

from jobs.intake.models import Job
from jobs.quoting.models import ChangeOrder, Quote


@dataclass(frozen=True, kw_only=True, slots=True)
class Contract:
    quote: Quote
    changes: tuple[ChangeOrder, ...]

    @property
    def changes_cents(self) -> int:
        return sum(change.amount_cents for change in self.changes)

    @property
    def total_cents(self) -> int:
        return self.quote.total_cents + self.changes_cents


def contract_of(job: Job) -> Contract | None:
    """None until a revision is approved."""
    quote = job.quotes.filter(state=Quote.State.APPROVED).first()
    if quote is None:
        return None
    changes = quote.changes.filter(state=ChangeOrder.State.APPROVED)
    return Contract(quote=quote, changes=tuple(changes))
