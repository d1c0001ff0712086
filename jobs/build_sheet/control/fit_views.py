"""Outputs on channels, inputs on pins, and the configuration table as a file."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_safe

from config.access import any_role
from jobs.build_sheet.control.fit import needs_nodes, node_sheets, table_csv, table_json
from jobs.build_sheet.control.views import kept_or_404
from jobs.build_sheet.views import page
from jobs.controls.codec import from_json
from jobs.controls.nodefit import node_fit

WRITERS = {
    "csv": (table_csv, "text/csv; charset=utf-8"),
    "json": (table_json, "application/json"),
}


@require_safe
@any_role
def logic_fit(request: HttpRequest, number: str, version: str) -> HttpResponse:
    kept = kept_or_404(number, version)
    logic = from_json(kept.logic)
    fit = node_fit(logic)
    context = {
        "kept": kept,
        "fit": fit,
        "nodes": node_sheets(logic),
        "needs_nodes": needs_nodes(logic),
    }
    return page(request, kept.job, "control/logic_fit", **context)


@require_safe
@any_role
def logic_table(request: HttpRequest, number: str, version: str, ending: str) -> HttpResponse:
    """The configuration table with version and SHA-256, to be kept beside the programme."""
    kept = kept_or_404(number, version)
    if ending not in WRITERS:
        raise Http404
    write, media_type = WRITERS[ending]
    response = HttpResponse(write(node_fit(from_json(kept.logic))), content_type=media_type)
    name = f"{number}-logic-{version}.{ending}"
    response["Content-Disposition"] = content_disposition_header(True, name)
    response["X-Content-Type-Options"] = "nosniff"
    return response
