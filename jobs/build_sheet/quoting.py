"""From build lines to a quote: what is priced follows from the sheet, nothing is typed twice."""

from decimal import Decimal
from typing import Any

from catalog.models import Ownership
from jobs.build_sheet.models import BuildLine, Section
from jobs.intake.models import Job
from jobs.quoting.actions import draft_quote
from jobs.quoting.models import Quote
from jobs.quoting.pricing import Kind, PricedInput

BUILD_ORDER = {section: place for place, section in enumerate(Section.values)}


def priced_inputs(job: Job) -> list[PricedInput]:
    """Every build line as something to price, in build order."""
    lines = job.lines.select_related("part__part")
    return [_input(line) for line in sorted(lines, key=_place)]


def _place(line: BuildLine) -> tuple[int, str]:
    return BUILD_ORDER[line.section], line.ref


def _input(line: BuildLine) -> PricedInput:
    """Agency equipment costs labour only; sublet work is passed on at its price."""
    part = line.part
    sublet = line.ownership == Ownership.SUBLET
    return PricedInput(
        kind=Kind.SUBLET if sublet else Kind.PART,
        section=line.get_section_display(),
        ref=line.ref,
        code=part.part.code,
        description=part.description,
        quantity=Decimal(line.quantity),
        unit_cents=0 if line.ownership == Ownership.AGENCY else part.list_price_cents,
        minutes=line.minutes,
        cost_cents=part.cost_cents,
    )


def quote_from_sheet(*, job: Job, by: Any, **terms: Any) -> Quote:
    """Put the sheet as it stands into the job's draft quote, or a new revision of it."""
    return draft_quote(job=job, lines=priced_inputs(job), by=by, **terms)
