"""When a unit was accepted, for the invoice that follows."""

from datetime import date

from django.utils import timezone

from inspections.handover.models import Acceptance
from jobs.invoicing.actions import ACCEPTED
from jobs.models import Unit


def accepted_on(unit: Unit) -> date | None:
    """The day of the agency's acceptance, open items or not."""
    answers = (Acceptance.Answer.ACCEPTED, Acceptance.Answer.PUNCH_LIST)
    found = Acceptance.objects.filter(unit=unit, answer__in=answers).order_by("at").first()
    return timezone.localdate(found.at) if found else None


ACCEPTED.append(accepted_on)
