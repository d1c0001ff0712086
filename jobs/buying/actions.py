"""Ordering, receiving, picking and counting. Stock changes by moves only, under the part's lock."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import F, Sum
from django.utils import timezone
from sequences import get_next_value

from catalog.models import Part
from jobs.audit.record import display_name, record
from jobs.build_sheet.models import BuildLine, Serial
from jobs.build_sheet.unit_lines import own_pieces, pieces_on
from jobs.buying.models import PartSource, Purchase, PurchaseLine, StockMove, Supplier
from jobs.changes.edits import Edit, EditError, make
from jobs.changes.effect import effect_of_edits
from jobs.findings import Severity
from jobs.intake.models import Unit

State = Purchase.State
Kind = StockMove.Kind


class BuyingError(Exception):
    """Why it cannot be done, as a sentence."""


@transaction.atomic
def order_parts(
    *, wanted: Mapping[Part, int], suppliers: Mapping[Part, Supplier], by: Any
) -> list[Purchase]:
    """Put parts on the draft order of their supplier, making one where there is none.

    Asked again for the same part, the line gets the larger number and not the sum.
    """
    grouped: dict[Supplier, list[tuple[Part, int]]] = defaultdict(list)
    for part, pieces in wanted.items():
        supplier = suppliers.get(part)
        if supplier is None:
            raise BuyingError(f"Say from whom {part.code} is bought.")
        grouped[supplier].append((part, pieces))
    made = []
    # Always in one order: two people who order at once wait, and not for each other.
    for supplier, rows in sorted(grouped.items(), key=lambda item: item[0].pk):
        purchase = _draft_for(supplier, by)
        for part, pieces in rows:
            _put(purchase, part, pieces)
            PartSource.objects.update_or_create(part=part, defaults={"supplier": supplier})
        words = ", ".join(f"{pieces} × {part.code}" for part, pieces in rows)
        record(by=by, verb="ordered", subject=purchase, sentence=f"{purchase}: {words}.")
        made.append(purchase)
    return made


def _draft_for(supplier: Supplier, by: Any) -> Purchase:
    Supplier.objects.select_for_update().get(pk=supplier.pk)
    # Locked, so that it is not sent between here and the last line.
    draft = supplier.purchases.select_for_update().filter(state=State.DRAFT).first()
    if draft:
        Purchase.objects.filter(pk=draft.pk).update(version=F("version") + 1)
        return draft
    number = f"B-{get_next_value('purchases'):04d}"
    return Purchase.objects.create(number=number, supplier=supplier, created_by=display_name(by))


def _put(purchase: Purchase, part: Part, pieces: int) -> None:
    cost = part.current.cost_cents if part.current else None
    line, new = PurchaseLine.objects.get_or_create(
        purchase=purchase, part=part, defaults={"quantity": pieces, "unit_cents": cost}
    )
    if not new and pieces > line.quantity:
        PurchaseLine.objects.filter(pk=line.pk).update(quantity=pieces)


@transaction.atomic
def send_purchase(*, purchase: Purchase, version: int, expected_on: date | None, by: Any) -> None:
    """The order goes out. What it holds stays as it is from then on."""
    if not purchase.lines.exists():
        raise BuyingError(f"{purchase} has no line.")
    sent = Purchase.objects.filter(pk=purchase.pk, state=State.DRAFT, version=version).update(
        state=State.SENT,
        expected_on=expected_on,
        sent_at=timezone.now(),
        sent_by=display_name(by),
        version=F("version") + 1,
    )
    if not sent:
        raise BuyingError(f"{purchase} was changed or sent by somebody else meanwhile.")
    sentence = f"Sent {purchase} to {purchase.supplier}."
    record(by=by, verb="sent", subject=purchase, sentence=sentence)


@transaction.atomic
def cancel_purchase(*, purchase: Purchase, by: Any) -> None:
    """Only what nothing has come of can be cancelled."""
    Purchase.objects.select_for_update().get(pk=purchase.pk)
    if purchase.lines.filter(received__gt=0).exists():
        raise BuyingError(f"Some of {purchase} has come already.")
    if not Purchase.objects.filter(pk=purchase.pk, state__in=(State.DRAFT, State.SENT)).update(
        state=State.CANCELLED, version=F("version") + 1
    ):
        raise BuyingError(f"{purchase} is closed already.")
    record(by=by, verb="cancelled", subject=purchase, sentence=f"Cancelled {purchase}.")


@transaction.atomic
def receive(*, line: PurchaseLine, pieces: int, serials: Sequence[str], seen: int, by: Any) -> None:
    """Book pieces in. `seen` is how many had come when the page was made: a double click loses."""
    # Lines of one order come in one after the other: only so one of them is the last.
    purchase = Purchase.objects.select_for_update().get(pk=line.purchase_id)
    if purchase.state != State.SENT:
        state = purchase.get_state_display().lower()
        raise BuyingError(f"{purchase} is {state}; nothing can be received on it.")
    open_ = line.quantity - seen
    if not 1 <= pieces <= open_:
        raise BuyingError(f"{pieces} pieces of {line.part}: {open_} are still to come.")
    tracked = line.part.current is not None and line.part.current.serial_tracked
    if tracked and len(set(serials)) != pieces:
        raise BuyingError(f"{line.part}: {pieces} pieces need {pieces} different serial numbers.")
    if not PurchaseLine.objects.filter(pk=line.pk, received=seen).update(
        received=F("received") + pieces, serials=[*line.serials, *serials]
    ):
        raise BuyingError(f"Somebody else received {line.part} on {purchase} meanwhile.")
    StockMove.objects.create(
        part=line.part, kind=Kind.RECEIPT, quantity=pieces, purchase_line=line, by=by
    )
    if not purchase.lines.filter(received__lt=F("quantity")).exists():
        Purchase.objects.filter(pk=purchase.pk).update(state=State.RECEIVED)
    sentence = f"Received {pieces} × {line.part} on {purchase}."
    record(by=by, verb="received", subject=purchase, sentence=sentence)


def in_stock(part: Part) -> int:
    return part.moves.aggregate(pieces=Sum("quantity"))["pieces"] or 0


@transaction.atomic
def pick(
    *, line: BuildLine, unit: Unit, pieces: int, seen: int, by: Any, serials: Sequence[str] = ()
) -> None:
    """Take pieces out of the stock for one unit. `seen` is how many it had: a double tap loses."""
    part = Part.objects.select_for_update().get(pk=line.part.part_id)
    had = picked_for(line, unit)
    if had != seen:
        raise BuyingError(f"Somebody else picked {part} for {unit} meanwhile.")
    open_ = wanted_for(line, unit) - had
    if not 1 <= pieces <= open_:
        raise BuyingError(f"{line.ref}: {unit} needs {max(0, open_)} more pieces.")
    here = in_stock(part)
    if pieces > here:
        raise BuyingError(
            f"{pieces} × {part} asked for, {here} in stock. Count it if that is wrong."
        )
    if line.part.serial_tracked and len(set(serials)) != pieces:
        raise BuyingError(f"{part}: {pieces} pieces need {pieces} different serial numbers.")
    StockMove.objects.create(
        part=part, kind=Kind.PICK, quantity=-pieces, job=line.job, unit=unit, line=line, by=by
    )
    for serial in serials:
        Serial.objects.get_or_create(unit=unit, line=line, serial=serial)
    record(
        by=by,
        verb="picked",
        subject=line,
        job=line.job.number,
        sentence=f"Picked {pieces} × {part} ({line.ref}) for {unit}.",
    )


def wanted_for(line: BuildLine, unit: Unit) -> int:
    return pieces_on(line, unit.pk, own_pieces(unit.differences.filter(line=line)))


def picked_for(line: BuildLine, unit: Unit) -> int:
    rows = StockMove.objects.filter(line=line, unit=unit)
    return -(rows.aggregate(pieces=Sum("quantity"))["pieces"] or 0)


@transaction.atomic
def count_stock(*, part: Part, found: int, seen: int, note: str, by: Any) -> int:
    """Write down what was counted; the difference is a move of its own. Returns it."""
    part = Part.objects.select_for_update().get(pk=part.pk)
    here = in_stock(part)
    if here != seen:
        raise BuyingError(f"{part} moved while you counted: {here} by the book now. Count again.")
    if found != here:
        StockMove.objects.create(
            part=part, kind=Kind.COUNT, quantity=found - here, note=note, by=by
        )
    record(
        by=by,
        verb="counted",
        subject=part,
        sentence=f"Counted {found} × {part}, {here} by the book. {note}".strip(),
    )
    return found - here


@transaction.atomic
def substitute(*, line: BuildLine, part_code: str, version: int, reason: str, by: Any) -> None:
    """Fit another part in its place. The design is checked again first; no new failure passes."""
    edit = {"op": "part", "ref": line.ref, "part_code": part_code}
    if not BuildLine.objects.filter(pk=line.pk, version=version).update(version=F("version") + 1):
        raise BuyingError(f"{line.ref} was changed by somebody else meanwhile.")
    old = line.part.part.code
    try:
        if failures := _failures(line, edit):
            raise BuyingError(f"{part_code} does not fit the design. {' '.join(failures)}")
        make(line.job, [edit])
    except EditError as error:
        raise BuyingError(str(error)) from None
    record(
        by=by,
        verb="substituted",
        subject=line,
        job=line.job.number,
        sentence=f"{line.ref}: {part_code} takes the place of {old}. {reason}",
    )


def _failures(line: BuildLine, edit: Edit) -> list[str]:
    """What would newly fail with the other part."""
    changes = effect_of_edits(line.job, [edit]).findings
    found = [one.after for one in changes if one.after and one.after.severity == Severity.FAIL]
    return [f"{finding.called}: {finding.message}" for finding in found]


@transaction.atomic
def put_back(*, line: BuildLine, unit: Unit, by: Any) -> None:
    """Pieces that were picked in error return; serial numbers read for them are forgotten."""
    part = Part.objects.select_for_update().get(pk=line.part.part_id)
    had = picked_for(line, unit)
    if had <= 0:
        raise BuyingError(f"{unit} has nothing of {line.ref}.")
    StockMove.objects.create(
        part=part, kind=Kind.BACK, quantity=had, job=line.job, unit=unit, line=line, by=by
    )
    Serial.objects.filter(unit=unit, line=line).delete()
    sentence = f"Put {had} × {part} ({line.ref}) of {unit} back."
    record(by=by, verb="put back", subject=line, job=line.job.number, sentence=sentence)
