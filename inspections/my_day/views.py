"""The start page: what waits for the person who looks."""

from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from config.access import (
    DESIGNER,
    INSPECTOR,
    MANAGER,
    TECHNICIAN,
    any_role,
    bay_page,
    has_role,
    roles_of,
)
from config.offline import keep_for_reader
from inspections.my_day import day
from inspections.my_day.decisions import waiting_decisions
from jobs.models import Notice

PER_PAGE = 25


def _page(request: HttpRequest, name: str, rows: Any) -> Page:
    """Each section has its own page number in the address: ?jobs=2."""
    return Paginator(rows, PER_PAGE).get_page(request.GET.get(name))


@any_role
@require_safe
@bay_page
def my_day(request: HttpRequest) -> HttpResponseBase:
    """One section per role the person holds; a shop without jobs shows its first steps.

    A tablet keeps the page of people who work in the bay, not that of the office.
    """
    today, person = timezone.localdate(), request.user
    inspector = has_role(person, INSPECTOR)
    office, manager = has_role(person, MANAGER, DESIGNER), has_role(person, MANAGER)
    jobs = _page(request, "jobs", day.open_jobs()) if office else None
    context = {
        "today": today,
        "first_steps": day.first_steps() if manager else [],
        "work": day.work_of(person) if has_role(person, TECHNICIAN) else None,
        "units": _page(request, "units", day.waiting_units()) if inspector else None,
        "decisions": _page(request, "decisions", waiting_decisions()) if manager else None,
        "jobs": jobs,
        "job_rows": day.job_rows(list(jobs), roles_of(person), today) if jobs else [],
        "unsent": Notice.objects.filter(state=Notice.State.FAILED).count() if manager else 0,
    }
    page = render(request, "inspections/my_day/my_day.html", context)
    return page if office else keep_for_reader(request, page)
