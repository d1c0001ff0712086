"""What was worked out about a version: its lamp heads and its single faults."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from config.access import any_role
from jobs.build_sheet.control.faults import fault_context
from jobs.build_sheet.control.heads import tables
from jobs.build_sheet.control.views import kept_or_404
from jobs.build_sheet.drafting.gate import Gate, gate_of
from jobs.build_sheet.drafting.working_out import Kind
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import page
from jobs.controls.codec import from_json


@require_safe
@any_role
def logic_heads(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """Per head the order of priority, and one winner for everything asked for together."""
    kept = kept_or_404(number, version)
    gate = gate_of(kept, Kind.HEADS)
    found = tables(from_json(kept.logic), gate.works[0].found)
    return _worked_out(request, kept, gate, "logic_heads", tables=found)


@require_safe
@any_role
def logic_faults(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """Every single fault against every interlock that it can touch, uncovered ones first."""
    kept = kept_or_404(number, version)
    gate = gate_of(kept, Kind.FAULTS)
    return _worked_out(
        request, kept, gate, "logic_faults", **fault_context(kept, gate.works[0], gate.risks)
    )


def _worked_out(
    request: HttpRequest, kept: ControlLogic, gate: Gate, template: str, **context: Any
) -> HttpResponse:
    context |= {"kept": kept, "gate": gate}
    return page(request, kept.job, f"control/{template}", **context)
