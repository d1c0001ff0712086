"""Pages of drawings: the single-line diagram and the zone plan, each with its table beside it."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from config.access import any_role
from jobs.build_sheet.balances import places
from jobs.build_sheet.diagrams import single_line as diagrams_of
from jobs.build_sheet.review import review
from jobs.build_sheet.views import job_or_404, page


@require_safe
@any_role
def single_line(request: HttpRequest, number: str) -> HttpResponse:
    """Supplies, feeds and circuits on a fixed grid, from the data of the schedule."""
    job = job_or_404(number)
    overview, feeds = diagrams_of(job, review(job))
    return page(request, job, "single_line", overview=overview, feeds=feeds)


@require_safe
@any_role
def zone_plan(request: HttpRequest, number: str) -> HttpResponse:
    """Every build line at its place on the vehicle, seen from above."""
    job = job_or_404(number)
    plan, by_zone, unplaced = places(job)
    return page(request, job, "zone_plan", plan=plan, by_zone=by_zone, unplaced=unplaced)
