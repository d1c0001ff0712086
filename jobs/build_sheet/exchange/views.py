"""The whole build as a file that import_build reads back."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from config.access import any_role
from jobs.build_sheet.exchange.write import build_of, json_bytes, workbook
from jobs.build_sheet.views import job_or_404

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
WRITERS = {"json": (json_bytes, "application/json"), "xlsx": (workbook, XLSX)}


@require_safe
@any_role
def build_export(request: HttpRequest, number: str, ending: str) -> HttpResponse:
    job = job_or_404(number)
    if ending not in WRITERS:
        raise Http404
    write, media_type = WRITERS[ending]
    response = HttpResponse(write(build_of(job)), content_type=media_type)
    response["Content-Disposition"] = f'attachment; filename="{job.number}-build.{ending}"'
    response["X-Content-Type-Options"] = "nosniff"
    return response
