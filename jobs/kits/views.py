"""Pages of kits: the shelf, one kit, making one, a job's kits, two builds compared."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet.exchange.write import build_of
from jobs.build_sheet.views import job_or_404
from jobs.controls.templates.catalogue import TEMPLATES
from jobs.intake.pages import form_page, posted
from jobs.kits import actions
from jobs.kits.compare import differences
from jobs.kits.forms import KitAddForm, KitFilter, KitForm, StartFromForm
from jobs.kits.models import Kit, KitRevision
from jobs.kits.standing import left_behind, many_sums, sums_of

PLACE = "jobs/kits/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
ROWS = 50


@require_safe
@any_role
def kit_list(request: HttpRequest) -> HttpResponse:
    form = KitFilter(request.GET)
    text = form.cleaned_data["q"] if form.is_valid() else ""
    fits = Q(code__icontains=text) | Q(name__icontains=text) | Q(vehicle__icontains=text)
    kits = Kit.objects.filter(fits).order_by("retired", "code").prefetch_related("revisions")
    page = Paginator(kits, ROWS).get_page(request.GET.get("page"))
    newest = {kit.pk: kit.revisions.all()[0] for kit in page if kit.revisions.all()}
    sums = many_sums(newest.values())
    rows = [(kit, newest[kit.pk], sums[newest[kit.pk].pk]) for kit in page if kit.pk in newest]
    context = {"form": form, "page": page, "rows": rows, "text": text}
    return render(request, PLACE("kit_list"), context)


@require_safe
@any_role
def kit_detail(request: HttpRequest, code: str) -> HttpResponse:
    """One revision of a kit: the newest, or the one asked for, and what it changed."""
    kit = get_object_or_404(Kit, code=code)
    revisions = list(kit.revisions.order_by("-number"))
    wanted = request.GET.get("revision", "")
    shown = next((one for one in revisions if str(one.number) == wanted), revisions[0])
    before = next((one for one in revisions if one.number == shown.number - 1), None)
    context = {
        "kit": kit,
        "shown": shown,
        "revisions": revisions,
        "sums": sums_of(shown),
        "before": before,
        "changes": differences(before.content, shown.content) if before else [],
        "rules": [TEMPLATES[key] for key in shown.content.get("rules", ()) if key in TEMPLATES],
        "uses": shown.uses.select_related("job__agency").order_by("-id")[:20],
        "may_edit": has_role(request.user, DESIGNER, MANAGER),
    }
    return render(request, PLACE("kit_detail"), context)


@require_POST
@role_required(MANAGER, DESIGNER)
def kit_retire(request: HttpRequest, code: str) -> HttpResponse:
    kit = get_object_or_404(Kit, code=code)
    actions.retire_kit(kit=kit, retired="restore" not in request.POST, by=request.user)
    return redirect("jobs:kit_detail", code)


@require_http_methods(EDIT)
@role_required(MANAGER, DESIGNER)
def kit_new(request: HttpRequest, number: str) -> HttpResponse:
    """Keep chosen lines of a job as a kit."""
    job = job_or_404(number)
    lines = list(job.lines.select_related("part__part"))
    form = KitForm(posted(request))
    chosen = set(request.POST.getlist("lines")) & {line.ref for line in lines}
    if request.method == "GET":
        chosen = {line.ref for line in lines}
    context = {"job": job, "lines": lines, "chosen": chosen}
    if form.is_valid():
        try:
            revision = actions.make_kit(job=job, lines=chosen, by=request.user, **form.cleaned_data)
        except actions.KitError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Kept kit {revision}.")
            return redirect("jobs:kit_detail", revision.kit.code)
    return form_page(request, PLACE("kit_new"), form, context)


@require_safe
@any_role
def job_kits(request: HttpRequest, number: str) -> HttpResponse:
    return _job_kits(request, number)


def _job_kits(request: HttpRequest, number: str, **forms: Any) -> HttpResponse:
    """The kits of a job with what was changed since; forms come back when they complained."""
    job = job_or_404(number)
    uses = left_behind(job)
    context = {
        "job": job,
        "uses": uses,
        "empty_build": not job.lines.exists(),
        "may_edit": has_role(request.user, DESIGNER, MANAGER),
        "add_form": KitAddForm(initial={"seen": len(uses)}),
        "start_form": StartFromForm(),
        "kits": Kit.objects.filter(retired=False).exists(),
        **forms,
    }
    return render(request, PLACE("job_kits"), context, status=422 if forms else 200)


@require_POST
@role_required(MANAGER, DESIGNER)
def kit_add(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    form = KitAddForm(request.POST)
    if not form.is_valid():
        return _job_kits(request, number, add_form=form)
    revision = _newest(form.cleaned_data["kit"])
    try:
        refused = actions.add_kit(
            job=job, revision=revision, seen=form.cleaned_data["seen"], by=request.user
        )
    except actions.KitError as error:
        form.add_error(None, str(error))
        return _job_kits(request, number, add_form=form)
    count = len(revision.content["lines"])
    messages.success(request, f"Added kit {revision}: {count} build lines with their circuits.")
    logic = job.logic_versions.order_by("id").last()
    if logic and revision.content.get("rules") and not logic.is_released:
        messages.info(
            request,
            f"Its control rules stand in draft {logic.version} of the logic: prove and release it.",
        )
    for sentence in refused:
        messages.warning(request, sentence)
    return redirect("jobs:job_kits", number)


def _newest(kit: Kit) -> KitRevision:
    return kit.revisions.order_by("-number")[0]


@require_POST
@role_required(MANAGER, DESIGNER)
def build_start(request: HttpRequest, number: str) -> HttpResponse:
    """Start this job's build from a whole earlier one."""
    job = job_or_404(number)
    form = StartFromForm(request.POST)
    if not form.is_valid():
        return _job_kits(request, number, start_form=form)
    source = form.cleaned_data["source"]
    try:
        logic = actions.start_from(job=job, source=source, by=request.user)
    except actions.KitError as error:
        form.add_error("source", str(error))
        return _job_kits(request, number, start_form=form)
    messages.success(request, f"The build of job {source.number} is on this job. Change it freely.")
    if logic:
        messages.info(request, logic)
    return redirect("jobs:build_compare", number, source.number)


@require_safe
@any_role
def build_compare(request: HttpRequest, number: str, other: str) -> HttpResponse:
    """This job's build against another job's, row by row."""
    job, before = job_or_404(number), job_or_404(other)
    context = {
        "job": job,
        "before": before,
        "changes": differences(build_of(before), build_of(job)),
    }
    return render(request, PLACE("build_compare"), context)
