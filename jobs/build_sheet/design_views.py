"""Design pages: circuits with their findings, modes, weight, kept revisions and their release."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, role_required
from jobs.build_sheet import actions, balances, design_forms
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.models import DesignRevision, OperatingMode
from jobs.build_sheet.review import review
from jobs.build_sheet.views import job_or_404, page


@require_safe
@any_role
def circuit_list(request: HttpRequest, number: str) -> HttpResponse:
    """The circuit schedule with every finding beside its row, worst findings on top."""
    job = job_or_404(number)
    found = review(job)
    context = {
        "review": found,
        "release_blockers": actions.release_blockers(job, found),
        "supplies": job.supplies.all(),
        "nodes": job.nodes.select_related("feed").prefetch_related("powered_by"),
        "openings": job.pass_throughs.prefetch_related("feeds", "circuits"),
        "revisions": job.design_revisions.order_by("-number"),
        "applied": job.applied_changes.all()[:20],
    }
    return page(request, job, "circuit_list", **context)


@role_required(DESIGNER, MANAGER)
@require_http_methods(["GET", "POST"])
def finding_accept(request: HttpRequest, number: str) -> HttpResponse:
    """Accept one finding in writing."""
    job = job_or_404(number)
    initial = {"rule": request.GET.get("rule", ""), "subject": request.GET.get("subject", "")}
    form = design_forms.AcceptFindingForm(request.POST or None, initial=initial)
    named = request.POST or request.GET
    judged = next(
        (
            each
            for each in review(job).judged
            if each.finding.rule == named.get("rule")
            and each.finding.subject == named.get("subject")
        ),
        None,
    )
    if judged is None:
        raise Http404
    if request.method == "POST" and form.is_valid():
        called = judged.finding.called
        actions.accept_finding(job=job, by=request.user, called=called, **form.cleaned_data)
        return redirect("jobs:circuit_list", number)
    context = {"form": form, "judged": judged}
    status = 422 if form.errors else 200
    return page(request, job, "finding_accept", status=status, **context)


@require_safe
@any_role
def mode_list(request: HttpRequest, number: str) -> HttpResponse:
    """Operating modes with their demand, and the duty of every circuit in each."""
    job = job_or_404(number)
    found = review(job)
    modes = list(job.modes.prefetch_related("duties"))
    duty = {(d.circuit_id, d.mode_id): d.permille for mode in modes for d in mode.duties.all()}
    rows = [
        (row, [duty.get((row.item.pk, mode.pk), 0) / 10 for mode in modes])
        for row in found.circuits
    ]
    energy = [each for each in found.judged if each.finding.subject.startswith("mode ")]
    bars = balances.mode_rows(found)
    context = {
        "modes": modes,
        "rows": rows,
        "energy": energy,
        "bars": bars,
        "picture": balances.energy_picture(bars),
    }
    return page(request, job, "mode_list", **context)


@role_required(DESIGNER, MANAGER)
@require_http_methods(["GET", "POST"])
def mode_duty(request: HttpRequest, number: str, key: str) -> HttpResponse:
    """Which circuits are on in one mode, each with its share of time in percent."""
    job = job_or_404(number)
    mode = get_object_or_404(OperatingMode, job=job, key=key)
    circuits = list(job.circuits.all())
    form = design_forms.DutyForm(request.POST or None, circuits=circuits, mode=mode)
    context = {"mode": mode, "form": form}
    if request.method == "POST" and form.is_valid():

        def save() -> None:
            actions.set_duties(mode=mode, duties=form.duties(), by=request.user)

        if "preview" not in request.POST:
            save()
            return redirect("jobs:mode_list", number)
        context |= {"changes": effect_of(job, save), "previewed": True}
    status = 422 if form.errors else 200
    return page(request, job, "mode_duty", status=status, **context)


@role_required(DESIGNER, MANAGER)
@require_http_methods(["GET", "POST"])
def design_keep(request: HttpRequest, number: str) -> HttpResponse:
    """Keep the design as it stands as the next revision."""
    job = job_or_404(number)
    found = review(job)
    form = design_forms.FreezeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        revision = actions.freeze_design(
            job=job, by=request.user, note=form.cleaned_data["note"], found=found
        )
        return redirect("jobs:design_revision", number, revision.number)
    context = {"form": form, "review": found}
    status = 422 if form.errors else 200
    return page(request, job, "design_keep", status=status, **context)


@require_safe
@any_role
def design_revision(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """One kept revision and what changed against the one before."""
    job = job_or_404(number)
    found = get_object_or_404(DesignRevision, job=job, number=revision)
    before = DesignRevision.objects.filter(job=job, number__lt=revision).last()
    old = {(f["rule"], f["subject"]): f for f in before.findings} if before else {}
    new = {(f["rule"], f["subject"]): f for f in found.findings}
    changed = [
        (old.get(key), new.get(key))
        for key in sorted(old.keys() | new.keys())
        if before and (old.get(key) or {}).get("severity") != (new.get(key) or {}).get("severity")
    ]
    problems = [f for f in found.findings if f["severity"] != "pass"]
    context = {
        "revision": found,
        "before": before,
        "changed": changed,
        "problems": problems,
        "newest": not DesignRevision.objects.filter(job=job, number__gt=revision).exists(),
    }
    return page(request, job, "design_revision", **context)


@require_POST
@role_required(DESIGNER, MANAGER)
def design_release(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    found = get_object_or_404(DesignRevision, job__number=number, number=revision)
    try:
        actions.release_design(revision=found, by=request.user)
        messages.success(request, f"Design revision {revision} is released.")
    except actions.BuildSheetError as error:
        messages.error(request, str(error))
    return redirect("jobs:design_revision", number, revision)
