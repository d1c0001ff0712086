"""What keeps a version from release, and acceptance in writing of what is known to remain."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet.drafting.document import DraftError
from jobs.build_sheet.drafting.gate import Gate, Risk, gate_of
from jobs.build_sheet.drafting.release import accept_risks
from jobs.build_sheet.drafting.views import kept_or_404
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import page


class AcceptForm(forms.Form):
    """Only what the page showed may be ticked."""

    risk = forms.MultipleChoiceField(
        label="What is accepted",
        error_messages={
            "required": "Tick what is accepted.",
            "invalid_choice": "This is accepted already, or the logic was changed meanwhile.",
        },
    )
    reason = forms.CharField(
        label="Why it may stay, and who agreed",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, risks: list[Risk], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(risk.fingerprint, risk.what) for risk in risks]
        self.fields["risk"].choices = choices  # type: ignore[attr-defined]


@require_safe
@any_role
def logic_gate(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """Broken interlocks and uncovered faults, with who accepted them; then release."""
    kept = kept_or_404(number, version)
    gate = gate_of(kept)
    return _gate_page(request, kept, gate, AcceptForm(risks=gate.open_risks))


@require_POST
@role_required(DESIGNER, MANAGER)
def risk_accept(request: HttpRequest, number: str, version: str) -> HttpResponse:
    kept = kept_or_404(number, version)
    gate = gate_of(kept, seconds=0)
    form = AcceptForm(request.POST, risks=gate.open_risks)
    if form.is_valid():
        try:
            risks = accept_risks(
                kept=kept,
                gate=gate,
                chosen=form.cleaned_data["risk"],
                reason=form.cleaned_data["reason"],
                by=request.user,
            )
            messages.success(request, f"{len(risks)} accepted in writing.")
            return redirect("jobs:logic_gate", number, version)
        except DraftError as error:
            form.add_error(None, str(error))
    return _gate_page(request, kept, gate, form, status=422)


@require_safe
@any_role
def logic_progress(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """How far the worker is; the page asks again by itself and is loaded anew at the end."""
    kept = kept_or_404(number, version)
    gate = gate_of(kept, seconds=0)
    response = page(request, kept.job, "logic_progress", kept=kept, gate=gate)
    if request.headers.get("HX-Request") and not gate.waiting:
        response["HX-Refresh"] = "true"
    return response


def _gate_page(
    request: HttpRequest, kept: ControlLogic, gate: Gate, form: AcceptForm, *, status: int = 200
) -> HttpResponse:
    groups: dict[str, list[Risk]] = {}
    for risk in gate.open_risks:
        groups.setdefault(f"{risk.interlock} {risk.label}", []).append(risk)
    context = {
        "kept": kept,
        "gate": gate,
        "form": form,
        "groups": list(groups.items()),
        "ticked": set(form["risk"].value() or []),
        "may_accept": has_role(request.user, DESIGNER, MANAGER),
    }
    return page(request, kept.job, "logic_gate", status=status, **context)
