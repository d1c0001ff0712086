"""The button that releases a version of the control logic."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from config.access import DESIGNER, MANAGER, role_required
from inspections.checklists.readings import CheckError
from inspections.release.logic_release import release_program
from jobs.build_sheet.drafting.document import DraftError
from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.drafting.views import kept_or_404, seen_in
from jobs.models import Stage


@require_POST
@role_required(DESIGNER, MANAGER)
def logic_release(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """Release what was seen; a draft changed since is refused with a sentence."""
    kept = kept_or_404(number, version)
    kept.edits = seen_in(request)
    try:
        asked = release_program(kept=kept, by=request.user, gate=gate_of(kept, seconds=0))
        messages.success(request, " ".join([f"Logic {version} is released.", *map(str, asked)]))
    except DraftError as error:
        messages.error(request, str(error))
    except (Stage.DoesNotExist, CheckError) as error:
        messages.error(request, f"Not released. {error}")
    return redirect("jobs:logic_gate", number, version)
