"""How long the shop stands for a part: from the customer's acceptance, by the part's own months."""

from calendar import monthrange
from datetime import date

from django.utils import timezone

from jobs.models import Unit


def began_on(unit: Unit) -> date | None:
    """The day of acceptance; a receipt does not start it."""
    accepted = unit.acceptances.exclude(answer="rejected").last()
    return timezone.localtime(accepted.at).date() if accepted else None


def ends_on(months: int | None, begin: date | None) -> date | None:
    if not months or begin is None:
        return None
    years, month = divmod(begin.month - 1 + months, 12)
    year = begin.year + years
    return date(year, month + 1, min(begin.day, monthrange(year, month + 1)[1]))
