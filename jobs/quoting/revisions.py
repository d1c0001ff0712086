"""What differs between two revisions, from their rows."""

from jobs.quoting.comparison import Change, Side, compare
from jobs.quoting.models import LineKind, Quote, QuoteLine
from jobs.quoting.pricing import COMPUTED


def side_of(line: QuoteLine) -> Side:
    """Computed lines keep one name, so that a new percentage is a change and not a new line."""
    computed = line.kind in COMPUTED
    return Side(
        kind=line.kind,
        section=line.section,
        name=_computed_name(line) if computed else line.ref or line.code or line.description,
        description=line.description,
        quantity=line.quantity,
        minutes=line.minutes,
        unit_cents=0 if computed else line.unit_cents,
        discount_bp=line.discount_bp,
        amount_cents=line.amount_cents,
        counts=line.kind != LineKind.OPTION or line.chosen,
    )


def _computed_name(line: QuoteLine) -> str:
    """Each class of work has lines of its own, for the first unit and for the further ones."""
    if line.kind == LineKind.LABOUR:
        return f"{line.kind} {line.description}"
    return f"{line.kind} {line.code}".strip()


def changes_between(before: Quote, after: Quote) -> list[Change]:
    """All lines of both revisions, paired."""
    sides = [[side_of(line) for line in quote.lines.all()] for quote in (before, after)]
    return list(compare(*sides))


def last_offered_before(quote: Quote) -> Quote | None:
    """The revision the customer saw before this one."""
    earlier = Quote.objects.filter(job_id=quote.job_id, pk__lt=quote.pk, offered_at__isnull=False)
    return earlier.order_by("pk").last()
