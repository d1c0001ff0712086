"""Pages of notices: what went out, and how every kind looks."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from config.access import MANAGER, role_required
from jobs.notices.actions import SAMPLE, NoticeError, office, send_again, words
from jobs.notices.models import Notice

PLACE = "jobs/notices/{}.html".format
ROWS = 50


@role_required(MANAGER)
@require_safe
def notice_list(request: HttpRequest) -> HttpResponse:
    rows = Notice.objects.order_by("-id")
    job = request.GET.get("job", "")[:20]
    if job:
        rows = rows.filter(job=job)
    page = Paginator(rows, ROWS).get_page(request.GET.get("page"))
    failed = Notice.objects.filter(state=Notice.State.FAILED).count()
    context = {
        "page": page, "kinds": Notice.Kind.choices, "job": job, "office": office(),
        "failed": failed, "keep": f"job={job}&" if job else "",
    }  # fmt: skip
    return render(request, PLACE("notice_list"), context)


@role_required(MANAGER)
@require_safe
def notice_preview(request: HttpRequest, kind: str) -> HttpResponse:
    """How an e-mail of this kind looks, with invented facts; nothing is sent."""
    if kind not in Notice.Kind.values:
        raise Http404
    subject, text = words(kind, SAMPLE)
    context = {"subject": subject, "text": text, "word": Notice.Kind(kind).label}
    return render(request, PLACE("notice_detail"), context)


@role_required(MANAGER)
@require_safe
def notice_detail(request: HttpRequest, notice: int) -> HttpResponse:
    row = get_object_or_404(Notice, pk=notice)
    context = {
        "notice": row, "subject": row.subject, "text": row.text, "word": row.get_kind_display(),
    }  # fmt: skip
    return render(request, PLACE("notice_detail"), context)


@role_required(MANAGER)
@require_POST
def notice_again(request: HttpRequest, notice: int) -> HttpResponse:
    row = get_object_or_404(Notice, pk=notice)
    try:
        send_again(notice=row, by=request.user)
    except NoticeError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Queued once more for {row.to}.")
    return redirect("jobs:notice_detail", notice)
