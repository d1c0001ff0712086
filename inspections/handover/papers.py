"""What the customer was offered and has approved, each as the PDF that was offered."""

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from jobs.models import Document, Job
from jobs.quoting.models import ChangeOrder, Quote

# What a customer calls the state of an offer; a withdrawn one is no longer shown.
WORDS = {
    "approved": ("pass", "Approved"),
    "offered": ("wait", "Waiting for your answer"),
    "superseded": ("na", "Replaced"),
    "declined": ("fail", "Declined"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """`key` is its part of the address: a quote's revision or a change's number in words."""

    key: str
    title: str
    cents: int
    is_change: bool
    state: str
    word: str
    by: str
    on: date | None
    document: Document | None

    @property
    def is_ready(self) -> bool:
        return self.document is not None and self.document.state == Document.State.DONE


def papers_of(job: Job) -> list[Paper]:
    """Quote revisions, newest first, then change orders in their order."""
    quotes = job.quotes.exclude(offered_at=None).filter(state__in=WORDS)
    changes = job.changes.exclude(offered_at=None).filter(state__in=WORDS)
    return [
        *(
            _paper(row, key=row.revision, title=f"Quote revision {row.revision}")
            for row in quotes.select_related("document", "decision").order_by("-pk")
        ),
        *(
            _paper(row, key=str(row), title=f"Change order {row}: {row.title}")
            for row in changes.select_related("document", "decision").order_by("number")
        ),
    ]


def _paper(row: Quote | ChangeOrder, *, key: str, title: str) -> Paper:
    state, word = WORDS[row.state]
    decision = getattr(row, "decision", None)
    return Paper(
        key=key,
        title=title,
        cents=row.amount_cents if isinstance(row, ChangeOrder) else row.total_cents,
        is_change=isinstance(row, ChangeOrder),
        state=state,
        word=word,
        by=decision.name if decision else "",
        on=decision and (decision.signed_on or timezone.localdate(decision.at)),
        document=row.document,
    )
