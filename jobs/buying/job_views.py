"""Buying pages of one job: what it needs by stage, the pick list, substitutes."""

from collections import defaultdict
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalog.models import Ownership
from config.access import DESIGNER, MANAGER, TECHNICIAN, any_role, has_role, role_required
from jobs.build_sheet.models import BuildLine, UnitDifference
from jobs.build_sheet.unit_lines import own_pieces, pieces_on
from jobs.build_sheet.views import job_or_404
from jobs.buying import actions
from jobs.buying.allocate import Share
from jobs.buying.forms import PickForm, SubstituteForm
from jobs.buying.models import StockMove
from jobs.buying.needs import shares_of_job
from jobs.changes.effect import effect_of_edits
from jobs.intake.models import Job, Unit
from jobs.intake.pages import form_page, posted

PLACE = "jobs/buying/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
OVER = (Job.State.RELEASED, Job.State.DELIVERED, Job.State.CANCELLED)


@dataclass(frozen=True, kw_only=True, slots=True)
class PickRow:
    """One build line with what each unit has of it and what is still missing for all."""

    line: BuildLine
    # Each unit, how many pieces it has, how many it gets.
    units: list[tuple[Unit, int, int]]
    share: Share | None

    @property
    def done(self) -> bool:
        return all(had >= wanted for _, had, wanted in self.units) and bool(self.units)

    @property
    def pickable(self) -> list[tuple[Unit, int, int]]:
        """Units that lack pieces, how many they have, and how many can be picked in one go."""
        here = self.share.from_stock if self.share else 0
        rows = []
        for unit, had, wanted in self.units:
            pieces = min(wanted - had, here)
            if pieces > 0:
                rows.append((unit, had, pieces))
        return rows


def pick_rows(job: Job) -> list[tuple[str, list[PickRow]]]:
    """Lines that the shop supplies, by stage; what cannot be picked yet stands first."""
    lines = list(job.lines.filter(ownership=Ownership.SHOP).select_related("part__part"))
    units = list(job.units.all())
    own = own_pieces(UnitDifference.objects.filter(unit__in=units))
    had: dict[tuple[int, int], int] = defaultdict(int)
    for line, unit, pieces in StockMove.objects.filter(line__job=job).values_list(
        "line_id", "unit_id", "quantity"
    ):
        had[line, unit] -= pieces
    shares = shares_of_job(job)
    stages: dict[str, list[PickRow]] = defaultdict(list)
    for line in lines:
        row = PickRow(
            line=line,
            units=[(unit, had[line.pk, unit.pk], pieces_on(line, unit.pk, own)) for unit in units],
            share=shares.get(line.ref),
        )
        stages[line.stage or "–"].append(row)
    for rows in stages.values():
        rows.sort(key=lambda row: (row.done, -(row.share.short if row.share else 0), row.line.ref))
    return sorted(stages.items(), key=lambda item: (len(item[0]), item[0]))


@any_role
@require_safe
def job_buying(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    context = {
        "job": job,
        "stages": pick_rows(job),
        "furnished": job.furnished_items.all(),
        "today": timezone.localdate(),
        "built": job.state in (Job.State.APPROVED, Job.State.BUILDING),
        "may_pick": has_role(request.user, MANAGER, TECHNICIAN),
        "over": job.state in OVER,
        "may_change": job.state not in OVER and has_role(request.user, MANAGER, DESIGNER),
    }
    return render(request, PLACE("job_buying"), context)


def _line(number: str, ref: str) -> BuildLine:
    rows = BuildLine.objects.select_related("job__agency", "part__part")
    return get_object_or_404(rows, job__number=number, ref=ref)


@role_required(MANAGER, TECHNICIAN)
@require_http_methods(EDIT)
def pick_line(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """Pick a line for a unit. One tap from the list; a page when serial numbers are asked for."""
    line = _line(number, ref)
    found = get_object_or_404(Unit, job=line.job, number=unit)
    had = actions.picked_for(line, found)
    wanted = actions.wanted_for(line, found)
    form = PickForm(posted(request), initial={"pieces": max(0, wanted - had), "seen": had})
    if form.is_valid():
        try:
            actions.pick(line=line, unit=found, by=request.user, **form.cleaned_data)
        except actions.BuyingError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Picked {form.cleaned_data['pieces']} × {line.part.part}.")
            return redirect("jobs:job_buying", number)
    context = {"job": line.job, "unit": found, "line": line, "had": had, "wanted": wanted}
    return form_page(request, PLACE("pick_line"), form, context)


@role_required(MANAGER, DESIGNER)
@require_http_methods(EDIT)
def substitute(request: HttpRequest, number: str, ref: str) -> HttpResponse:
    """Another part in its place: first what it does to the design, then accepted by name."""
    line = _line(number, ref)
    form = SubstituteForm(posted(request), line=line, initial={"version": line.version})
    context = {"job": line.job, "line": line}
    if form.is_valid():
        typed = form.cleaned_data
        if "accept" in request.POST:
            try:
                actions.substitute(line=line, by=request.user, **typed)
            except actions.BuyingError as error:
                form.add_error(None, str(error))
                return form_page(request, PLACE("substitute"), form, context)
            messages.success(request, f"{line.ref} has {typed['part_code']} now.")
            return redirect("jobs:job_buying", number)
        edit = {"op": "part", "ref": line.ref, "from": line.part.part.code,
                "part_code": typed["part_code"]}  # fmt: skip
        context |= {"effect": effect_of_edits(line.job, [edit]), "form": form}
        return render(request, PLACE("substitute"), context)
    return form_page(request, PLACE("substitute"), form, context)


@role_required(MANAGER, TECHNICIAN)
@require_POST
def put_back(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """Everything of a line that one unit had goes back into the stock."""
    line = _line(number, ref)
    found = get_object_or_404(Unit, job=line.job, number=unit)
    try:
        actions.put_back(line=line, unit=found, by=request.user)
        messages.success(request, f"{line.ref} of {found} is back in the stock.")
    except actions.BuyingError as error:
        messages.error(request, str(error))
    return redirect("jobs:job_buying", number)
