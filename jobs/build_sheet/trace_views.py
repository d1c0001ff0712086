"""Tracing: find a load or circuit, follow it to the battery; open something, see what goes dark."""

from dataclasses import dataclass

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from config.access import any_role, bay_page
from jobs.build_sheet.design import design_of
from jobs.build_sheet.models import Circuit
from jobs.build_sheet.pictures.profile import profile
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.trace_search import Hit, search
from jobs.build_sheet.tracing import Condition, Path, path_of
from jobs.build_sheet.views import job_or_404, page
from jobs.electrical.case import Case
from jobs.electrical.design import Mode
from jobs.electrical.input_check import design_problems
from jobs.electrical.trace import dark_nodes, goes_dark
from jobs.intake.models import Job

MOST_TYPED = 100


@require_safe
@any_role
@bay_page
def trace_list(request: HttpRequest, number: str) -> HttpResponse:
    """Everything that can be traced, narrowed by what is typed."""
    job = job_or_404(number)
    typed = request.GET.get("q", "").strip()[:MOST_TYPED]
    context = {"job": job, "typed": typed, "hits": search(job, typed)}
    fragment = "#trace-hits" if request.htmx else ""  # type: ignore[attr-defined]
    return render(request, f"jobs/build_sheet/trace_list.html{fragment}", context)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """A path with its picture under the chosen condition."""

    path: Path
    chosen: Condition
    picture: Picture | None


@require_safe
@any_role
@bay_page
def trace_detail(request: HttpRequest, number: str, kind: str, ref: str) -> HttpResponse:
    """One thing: the way of its circuits to the battery, and what goes dark when it opens."""
    job = job_or_404(number)
    hit = next((hit for hit in search(job, "") if (hit.kind, hit.ref) == (kind, ref)), None)
    if hit is None:
        raise Http404
    design = design_of(job)
    problems = design_problems(design)
    case = None if problems else Case(design)
    asked = request.GET.get("mode", "")
    traced = _traced(job, case, hit, asked)
    dark = None if hit.kind == "load" else _dark(job, case, hit, asked)
    return page(request, job, "trace_detail", hit=hit, traced=traced, dark=dark, problems=problems)


def _circuits(job: Job) -> QuerySet[Circuit]:
    return job.circuits.select_related(
        "node", "feed__supply", "feed__second_supply"
    ).prefetch_related("loads__line__part")


def _traced(job: Job, case: Case | None, hit: Hit, mode: str) -> list[Shown]:
    """The way of the circuit, or of each circuit on which the load hangs."""
    if hit.kind == "circuit":
        circuits = _circuits(job).filter(ref=hit.ref)
    elif hit.kind == "load":
        circuits = _circuits(job).filter(loads__line__ref=hit.ref).distinct()
    else:
        return []
    return [_shown(path_of(case, circuit), mode) for circuit in circuits]


def _shown(path: Path, mode: str) -> Shown:
    """Under the mode asked for; else the first in which the circuit is on."""
    named = [one for one in path.conditions if one.key == mode]
    chosen = (named or [one for one in path.conditions if one.on])[0]
    ref = path.circuit.ref
    drawn = None
    levels = path.levels(chosen)
    if levels:
        start = levels[0].volts
        drawn = profile(
            key=f"profile-{path.circuit.pk}",
            title=f"Voltage along circuit {ref}, {chosen.name}",
            levels=levels,
            least_v=None if path.may_lose_v is None else start - path.may_lose_v,
        )
    return Shown(path=path, chosen=chosen, picture=drawn)


@dataclass(frozen=True, kw_only=True, slots=True)
class Dark:
    """What is without supply while something is open, in one mode or in none in particular."""

    circuits: list[Circuit]
    # Nodes whose logic is dead: they switch their channels off.
    nodes: tuple[str, ...]
    # Nodes of which nobody said what feeds their logic.
    unknown: tuple[str, ...]
    modes: tuple[Mode, ...] = ()
    chosen: str = ""


def _dark(job: Job, case: Case | None, hit: Hit, key: str) -> Dark | None:
    """Nothing while the design is faulty. Only what a supply feeds depends on the links closed."""
    if case is None:
        return None
    opened = hit.ref if hit.kind == "circuit" else f"{hit.kind} {hit.ref}"
    modes = case.design.modes if hit.kind == "supply" else ()
    mode = next((each for each in modes if each.key == key), None)
    refs = goes_dark(case, opened, mode=mode)
    return Dark(
        circuits=list(_circuits(job).filter(ref__in=refs)),
        nodes=dark_nodes(case, refs),
        unknown=tuple(node.ref for node in case.design.nodes if not node.powered_by),
        modes=modes,
        chosen=mode.key if mode else "",
    )
