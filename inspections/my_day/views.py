"""The start page: what waits for the person who looks."""

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


@any_role
@require_safe
@bay_page
def my_day(request: HttpRequest) -> HttpResponseBase:
    """One section per role the person holds; a shop without jobs shows its first steps.

    A tablet keeps the page of people who work in the bay, not that of the office.
    """
    today = timezone.localdate()
    person = request.user
    office = has_role(person, MANAGER, DESIGNER)
    context = {
        "today": today,
        "first_steps": day.first_steps() if has_role(person, MANAGER) else [],
        "work": day.work_of(person) if has_role(person, TECHNICIAN) else None,
        "units": day.waiting_units() if has_role(person, INSPECTOR) else None,
        "decisions": waiting_decisions() if has_role(person, MANAGER) else None,
        "jobs": day.job_rows(roles_of(person), today) if office else None,
    }
    page = render(request, "inspections/my_day/my_day.html", context)
    return page if office else keep_for_reader(request, page)
