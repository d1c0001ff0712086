"""What stands still until somebody decides: in the shop, or at the customer."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max
from django.urls import reverse

from inspections.checklists.models import Check
from inspections.defects.models import Defect
from jobs.models import ChangeOrder, Job, PurchaseOrder, Quote, Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class Decision:
    """Something that stands still until somebody answers."""

    job: Job
    sentence: str
    since: date | None
    ours: bool  # True: somebody in the shop decides; False: the customer does.
    url: str


def count_words(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def _quotes(job: Job) -> str:
    return reverse("jobs:quote_list", args=[job.number])


def waiting_decisions() -> list[Decision]:
    """What the shop decides first, then what customers still have to answer, oldest first."""
    held = PurchaseOrder.objects.filter(held=True).select_related("job__agency")
    quotes = Quote.objects.filter(state=Quote.State.OFFERED).select_related("job__agency")
    changes = ChangeOrder.objects.filter(state=ChangeOrder.State.OFFERED)
    waiting = [
        Decision(
            job=order.job,
            sentence=f"Order {order.number} is held: "
            f"{count_words(len(order.mismatches), 'mismatch', 'mismatches')} to the quote.",
            since=order.received_on,
            ours=True,
            url=_quotes(order.job),
        )
        for order in held.order_by("received_on", "id")
    ]
    waiting += [*_disputes(), *_repeated_failures()]
    waiting += [
        Decision(
            job=quote.job,
            sentence=f"Quote {quote.revision} waits for the customer, "
            f"valid until {quote.valid_until:%-d %b %Y}.",
            since=quote.offered_at.date() if quote.offered_at else None,
            ours=False,
            url=_quotes(quote.job),
        )
        for quote in quotes.order_by("offered_at", "id")
    ]
    waiting += [
        Decision(
            job=change.job,
            sentence=f"Change {change} waits for the customer: {change.title}.",
            since=change.created_at.date(),
            ours=False,
            url=_quotes(change.job),
        )
        for change in changes.select_related("job__agency").order_by("created_at")
    ]
    return waiting


def _disputes() -> Iterator[Decision]:
    """Units with answers that disagree or came after a signature."""
    found = (
        Check.objects.filter(state=Check.State.DECISION, retired=False)
        .order_by("unit")
        .values("unit")
        .annotate(count=Count("id", distinct=True), last=Max("results__received_at"))
    )
    units = Unit.objects.select_related("job__agency").in_bulk([row["unit"] for row in found])
    for row in found:
        unit, checks = units[row["unit"]], count_words(row["count"], "check")
        yield Decision(
            job=unit.job,
            sentence=f"{checks} of unit {unit.number} with two answers.",
            since=row["last"].date() if row["last"] else None,
            ours=True,
            url=reverse("inspections:decision_list", args=[unit.job.number, unit.number]),
        )


def _repeated_failures() -> Iterator[Decision]:
    """Defects that failed again; a manager looks before they are reworked once more."""
    defects = Defect.objects.filter(escalated=True, state=Defect.State.OPEN)
    for defect in defects.select_related("unit__job__agency").order_by("created_at", "id"):
        unit = defect.unit
        yield Decision(
            job=unit.job,
            sentence=f"{defect} of unit {unit.number} failed {defect.failures} times.",
            since=defect.created_at.date(),
            ours=True,
            url=reverse(
                "inspections:defect_detail", args=[unit.job.number, unit.number, defect.number]
            ),
        )
