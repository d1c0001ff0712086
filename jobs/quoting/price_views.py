"""Pages of what the shop charges by agreement: classes of work and price contracts."""

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from config.access import MANAGER, role_required
from jobs.audit.record import record
from jobs.intake.guard import StaleError, update_guarded
from jobs.intake.pages import conflict_page, form_page, posted
from jobs.quoting.models import LabourClass, PriceContract
from jobs.quoting.price_forms import ContractForm, LabourClassForm

PLACE = "jobs/quoting/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
# Word in the address, form, and what people call it.
KINDS: dict[str, tuple[Any, str]] = {
    "contract": (ContractForm, "price contract"),
    "class": (LabourClassForm, "class of work"),
}


@role_required(MANAGER)
@require_safe
def price_terms(request: HttpRequest) -> HttpResponse:
    context = {
        "contracts": PriceContract.objects.all(),
        "classes": LabourClass.objects.all(),
        "today": timezone.localdate(),
    }
    return render(request, PLACE("price_terms"), context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def price_term_new(request: HttpRequest, kind: str) -> HttpResponse:
    form_class, noun = _kind(kind)
    form = form_class(posted(request), instance=form_class._meta.model())
    if form.is_valid():
        with transaction.atomic():
            row = form.save()
            record(by=request.user, verb="added", subject=row, sentence=f"Added {noun} {row}.")
        messages.success(request, f"Added {row}.")
        return redirect("jobs:price_terms")
    return form_page(request, PLACE("price_term_edit"), form, {"noun": noun})


@role_required(MANAGER)
@require_http_methods(EDIT)
def price_term_edit(request: HttpRequest, kind: str, row_id: int) -> HttpResponse:
    form_class, noun = _kind(kind)
    row = get_object_or_404(form_class._meta.model, pk=row_id)
    form = form_class(posted(request), instance=row)
    context = {"noun": noun, "row": row}
    if form.is_valid():
        try:
            with transaction.atomic():
                changed = update_guarded(
                    row, version=form.cleaned_data["version"], values=form.values()
                )
                if changed:
                    words = f"Changed {noun} {row}: {', '.join(changed)}."
                    record(by=request.user, verb="changed", subject=row, sentence=words)
        except StaleError as error:
            return conflict_page(request, PLACE("price_term_edit"), form, error, context)
        messages.success(request, f"Saved {row}. Quotes that exist keep what they had.")
        return redirect("jobs:price_terms")
    return form_page(request, PLACE("price_term_edit"), form, context)


def _kind(name: str) -> tuple[Any, str]:
    if name not in KINDS:
        raise Http404
    return KINDS[name]
