"""What a change order does to the build sheet, as plain values, and doing it.

{"op": "quantity", "ref": "L13", "to": 8}
{"op": "part", "ref": "L02", "part_code": "WL-2"}
{"op": "remove", "ref": "L47"}
{"op": "add", "part_code": "GL-8", "quantity": 2, "section": "scene", "zone": "around",
 "stage": "S6", "circuit": "B-06"}
"""

from typing import Any

from django.db import transaction
from django.db.models import F, ProtectedError

from catalog.models import PartRevision
from jobs.build_sheet.models import BuildLine, Circuit, CircuitLoad
from jobs.intake.models import Job

Edit = dict[str, Any]


class EditError(Exception):
    """Why an edit cannot be made on the build sheet as it stands, as a sentence."""


def words(edit: Edit) -> str:
    """The edit as a person says it."""
    match edit["op"]:
        case "quantity":
            return f"{edit['ref']}: {edit['to']} pieces instead of {edit.get('from', 'now')}"
        case "part":
            return f"{edit['ref']}: part {edit['part_code']} instead of {edit.get('from', 'now')}"
        case "remove":
            return f"{edit['ref']} is taken out"
    where = f" on circuit {edit['circuit']}" if edit.get("circuit") else ""
    return f"{edit['quantity']} × {edit['part_code']} added{where}"


def make(job: Job, edits: list[Edit]) -> list[str]:
    """Do all edits on the job's rows. Returns the refs of the lines touched. All or nothing."""
    with transaction.atomic():
        return [_make_one(job, edit) for edit in edits]


def _make_one(job: Job, edit: Edit) -> str:
    if edit["op"] == "add":
        return _add(job, edit)
    line = job.lines.select_related("part__part").filter(ref=edit["ref"]).first()
    if line is None:
        raise EditError(f"There is no build line {edit['ref']} on job {job.number} any more.")
    if edit["op"] == "quantity":
        _set_quantity(line, int(edit["to"]))
    elif edit["op"] == "part":
        part = current_part(edit["part_code"])
        BuildLine.objects.filter(pk=line.pk).update(part=part, version=F("version") + 1)
    else:
        _remove(line)
    return line.ref


def current_part(code: str) -> PartRevision:
    found = (
        PartRevision.objects.filter(current_of__code__iexact=code, part__retired=False)
        .select_related("part")
        .first()
    )
    if found is None:
        raise EditError(f"Part {code} is not in the catalog, or is retired.")
    return found


def _set_quantity(line: BuildLine, quantity: int) -> None:
    """The pieces on circuits follow: more hang on the first circuit, fewer leave the last."""
    BuildLine.objects.filter(pk=line.pk).update(quantity=quantity, version=F("version") + 1)
    loads = list(line.loads.order_by("id"))
    if not loads:
        return
    more = quantity - line.quantity
    if more > 0:
        CircuitLoad.objects.filter(pk=loads[0].pk).update(quantity=F("quantity") + more)
    for load in reversed(loads):
        gone = min(load.quantity, max(0, -more))
        more += gone
        if gone == load.quantity:
            load.delete()
        elif gone:
            CircuitLoad.objects.filter(pk=load.pk).update(quantity=F("quantity") - gone)


def _remove(line: BuildLine) -> None:
    try:
        with transaction.atomic():
            line.loads.all().delete()
            line.delete()
    except ProtectedError as error:
        users = sorted({str(one) for one in error.protected_objects})
        raise EditError(f"{line.ref} is used by {', '.join(users[:5])}.") from None


def _add(job: Job, edit: Edit) -> str:
    part = current_part(edit["part_code"])
    line = BuildLine.objects.create(
        job=job,
        ref=_next_ref(job),
        part=part,
        quantity=edit["quantity"],
        section=edit["section"],
        zone=edit["zone"],
        stage=edit.get("stage", ""),
        ownership=part.ownership,
    )
    if edit.get("circuit"):
        circuit = Circuit.objects.filter(job=job, ref=edit["circuit"]).first()
        if circuit is None:
            raise EditError(f"There is no circuit {edit['circuit']} on job {job.number}.")
        CircuitLoad.objects.create(circuit=circuit, line=line, quantity=edit["quantity"])
    return line.ref


def _next_ref(job: Job) -> str:
    numbers = [int(ref[1:]) for ref in job.lines.values_list("ref", flat=True)
               if ref[:1] == "L" and ref[1:].isdecimal()]  # fmt: skip
    return f"L{max(numbers, default=0) + 1:02d}"
