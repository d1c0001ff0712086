"""Answers that every page with a form in this slice gives alike."""

from collections.abc import Mapping
from typing import Any

from django.db.models import QuerySet
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

from jobs.intake.guard import GuardedForm, StaleError

ROWS = 50


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent. An empty POST is still sent, so its form must complain."""
    return request.POST if request.method == "POST" else None


def form_page(
    request: HttpRequest, template: str, form: BaseForm, context: Mapping[str, Any]
) -> HttpResponse:
    """The page with its form; 422 when the form was sent and comes back."""
    status = 422 if form.is_bound else 200
    return render(request, template, {**context, "form": form}, status=status)


def conflict_page(
    request: HttpRequest,
    template: str,
    form: GuardedForm,
    error: StaleError,
    context: Mapping[str, Any],
    **kwargs: Any,
) -> HttpResponse:
    """The page once more with both texts; 409 because nothing was written."""
    fresh, differences = form.after_conflict(error.stored, **kwargs)
    context = {**context, "form": fresh, "differences": differences}
    return render(request, template, context, status=409)


def first_rows(rows: QuerySet[Any], size: int = ROWS) -> tuple[list[Any], bool]:
    """The first rows and whether more follow, without counting the rest."""
    found = list(rows[: size + 1])
    return found[:size], len(found) > size
