"""May this draft be offered? Everything in the way, each as a sentence."""

from datetime import date

from jobs.intake.models import Agency, Job
from jobs.quoting.contracts import contract_problems
from jobs.quoting.models import ChangeOrder, Quote
from jobs.quoting.words import day_words

OVER = {Job.State.DELIVERED, Job.State.CANCELLED}


def offer_blockers(quote: Quote, *, on: date) -> list[str]:
    found = [
        *_contents(quote),
        *_validity(quote, on),
        *contract_problems(quote, on),
        *_tax(quote, on),
    ]
    if quote.job.state in OVER:
        found.append(f"Job {quote.job.number} is {quote.job.get_state_display().lower()}.")
    return [*found, *approved_changes(quote)]


def _contents(quote: Quote) -> list[str]:
    lines = list(quote.lines.all())
    if not lines:
        return ["The quote has no lines. Draft it from the build sheet or add a line."]
    if quote.labour_rate_cents == 0 and any(line.minutes for line in lines):
        return ["The labour rate is $0 an hour although the lines have hours. Set the rate."]
    return []


def _validity(quote: Quote, on: date) -> list[str]:
    if quote.valid_until >= on:
        return []
    day = day_words(quote.valid_until)
    return [f"The quote is valid until {day}, which is past. Set a later day."]


def _tax(quote: Quote, on: date) -> list[str]:
    if quote.tax == Quote.Tax.EXEMPT:
        problem = certificate_problem(quote.job.agency, on=on, until=quote.valid_until)
        return [problem] if problem else []
    if quote.tax == Quote.Tax.TAXED and quote.tax_bp == 0:
        return ["The quote is taxed but the tax rate is 0 %. Type the rate or choose exempt."]
    return []


def certificate_problem(agency: Agency, *, on: date, until: date) -> str:
    """Why the agency's certificate does not cover every day of an offer. Empty: it does."""
    if not agency.exempt or not agency.certificate_number:
        return (
            f"The quote is tax exempt but {agency.name} has no exemption certificate. "
            "Enter it with the agency or tax the quote."
        )
    name = f"Certificate {agency.certificate_number}"
    if not agency.certificate_state:
        return f"{name} names no state. Enter the state with the agency."
    ends = agency.certificate_expires_on
    if ends is None:
        return f"{name} has no expiry date. Enter it with the agency."
    if ends < on:
        return f"{name} expired on {day_words(ends)}. Get a new one or tax the quote."
    if ends < until:
        return (
            f"{name} ends on {day_words(ends)}, before the quote does on {day_words(until)}. "
            "Shorten the validity or get a new certificate."
        )
    return ""


def certificate_words(agency: Agency) -> str:
    """The certificate as the quote prints it."""
    ends = day_words(agency.certificate_expires_on)
    return f"{agency.certificate_number}, {agency.certificate_state}, valid until {ends}"


def approved_changes(quote: Quote) -> list[str]:
    """A revision cannot take over from one that already carries approved changes."""
    change = (
        ChangeOrder.objects.filter(quote__job_id=quote.job_id, state=ChangeOrder.State.APPROVED)
        .exclude(quote=quote)
        .select_related("quote")
        .first()
    )
    if change is None:
        return []
    return [
        f"{change} is approved on revision {change.quote.revision}. "
        "Price what is new as another change order."
    ]
