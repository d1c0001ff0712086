"""Making kits from a job's build, adding them to jobs, and starting from a whole earlier job."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.db import transaction
from django.db.models import Max

from jobs.audit.record import display_name, record
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.exchange.bring import bring
from jobs.build_sheet.exchange.read import plain_build
from jobs.build_sheet.exchange.write import build_of
from jobs.build_sheet.models import ControlLogic
from jobs.intake.models import Job
from jobs.intake.standings import counted
from jobs.kits.models import Kit, KitRevision, KitUse
from jobs.kits.place import pick, place
from jobs.kits.rules import add_rules

# What of a whole build goes with it to another job; units have their own VIN and ratings.
COPIED = ("supplies", "feeds", "lines", "nodes", "circuits", "loads", "modes", "duty", "payload",
          "ac", "branches", "bonds")  # fmt: skip
MOST_PROBLEMS = 6


class KitError(Exception):
    """Why a kit cannot be made or added, as a sentence."""


@transaction.atomic
def make_kit(
    *,
    job: Job,
    code: str,
    name: str,
    lines: Collection[str],
    by: Any,
    vehicle: str = "",
    rules: Iterable[str] = (),
    note: str = "",
    next_revision: bool = False,
) -> KitRevision:
    """Keep lines of a job, with their circuits and rules, as a kit or as its next revision."""
    kit, new = Kit.objects.get_or_create(code=code, defaults={"name": name, "vehicle": vehicle})
    if not new and not next_revision:
        raise KitError(f"There is a kit {code} already. Say that this is its next revision.")
    kit = Kit.objects.select_for_update().get(pk=kit.pk)
    if not new:
        kit.name, kit.vehicle, kit.retired = name, vehicle, False
        kit.save()
    content: dict[str, Any] = {**pick(build_of(job), lines), "rules": sorted(rules)}
    if not content["lines"]:
        raise KitError("Choose at least one build line for the kit.")
    last = kit.revisions.aggregate(last=Max("number"))["last"] or 0
    revision = KitRevision.objects.create(
        kit=kit,
        number=last + 1,
        content=content,
        taken_from=job.number,
        note=note,
        made_by=display_name(by),
    )
    record(
        by=by,
        verb="kept",
        subject=revision,
        job=job.number,
        sentence=f"Kept {counted(len(content['lines']), 'line')} as kit {revision}: {kit.name}.",
    )
    return revision


@transaction.atomic
def add_kit(*, job: Job, revision: KitRevision, seen: int, by: Any) -> list[str]:
    """Add a kit's rows to a job, all or none. Returns which of its rules were left out and why.

    `seen` is how many kits the page showed, so that a double click does not add one twice.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    if job.kit_uses.count() != seen:
        raise KitError("A kit was added after you opened this page. Look whether it was yours.")
    placed = place(revision.content, build_of(job))
    source = f"kit {revision}"
    report = bring(job=job, build=plain_build(placed.tables), by=by, source=source, add_only=True)
    if report.problems:
        raise KitError(_sentence(source, report.problems))
    KitUse.objects.create(job=job, revision=revision, names=placed.names, added_by=display_name(by))
    return add_rules(job, revision.content.get("rules", ()), by, str(revision))


@transaction.atomic
def start_from(*, job: Job, source: Job, by: Any) -> str:
    """Copy the whole build of an earlier job, parts at today's revision, and its logic.

    Returns which version of the logic came over, as a sentence.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    if job.lines.exists() or job.circuits.exists():
        raise KitError(f"Job {job.number} has a build already; an earlier one goes onto an empty.")
    build = build_of(source)
    if not build["lines"]:
        raise KitError(f"Job {source.number} has no build line to start from.")
    tables = {name: build[name] for name in COPIED if build[name]}
    report = bring(job=job, build=plain_build(tables), by=by, source=f"job {source.number}")
    if report.problems:
        raise KitError(_sentence(f"job {source.number}", report.problems))
    Job.objects.filter(pk=job.pk).update(rule_set=source.rule_set, copied_from=source)
    return _copy_logic(job, source, by)


def _copy_logic(job: Job, source: Job, by: Any) -> str:
    """The newest released version; where none is released, the newest draft. A draft here."""
    newest = source.logic_versions.order_by("id").last()
    logic = released_logic(source) or newest
    if logic is None or newest is None or job.logic_versions.exists():
        return ""
    ControlLogic.objects.create(
        job=job,
        version=logic.version,
        logic=logic.logic,
        sha256=logic.sha256,
        note=f"From job {source.number}, {logic}",
        made_by=display_name(by),
    )
    here = "It is a draft here: prove and release it."
    if not logic.is_released:
        draft = f"its draft {logic.version} came. {here}"
        return f"No control logic of {source.number} is released; {draft}"
    more = "" if newest.is_released else f" Its newer draft {newest.version} stayed behind."
    return f"Control {logic} came as it is released on {source.number}.{more} {here}"


def _sentence(source: str, problems: Iterable[Any]) -> str:
    said = [str(problem) for problem in problems]
    more = f" And {len(said) - MOST_PROBLEMS} more." if len(said) > MOST_PROBLEMS else ""
    return f"Nothing of {source} was added. " + " ".join(said[:MOST_PROBLEMS]) + more


@transaction.atomic
def retire_kit(*, kit: Kit, retired: bool, by: Any) -> None:
    """Offer the kit no more, or again. Jobs that have it keep it."""
    if Kit.objects.filter(pk=kit.pk, retired=not retired).update(retired=retired):
        words = "Retired" if retired else "Restored"
        verb = words.lower()
        record(by=by, verb=verb, subject=kit, sentence=f"{words} kit {kit.code}.")


def as_it_went_in(use: KitUse) -> Mapping[str, Any]:
    """The kit's own rows under the names that they got on the job."""
    names = use.names
    kept = {table: names.get(table, {}) for table in ("lines", "circuits")}
    found: dict[str, list[dict[str, Any]]] = {}
    for table, of in kept.items():
        rows = use.revision.content.get(table, [])
        found[table] = [{**row, "ref": of.get(row["ref"], row["ref"])} for row in rows]
    for row in found["circuits"]:
        row["label"] = kept["circuits"].get(row.get("label"), row.get("label"))
    return found
