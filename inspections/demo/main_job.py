"""The main job on the demo, in one go: design checks, money, work, quality, packet, acceptance."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db.models import Sum

from inspections.as_built.current import AsBuilt
from inspections.demo.after import visit
from inspections.demo.load import load_demo
from inspections.demo.queue import work_off
from inspections.demo.rows import make_people, read
from inspections.evidence.verify import verify_all
from inspections.handover.actions import accept_unit, build_packet
from inspections.models import Packet
from inspections.service.search import find
from jobs.build_sheet.logic import proofs_of
from jobs.build_sheet.review import review
from jobs.documents.files import document_path
from jobs.invoicing.actions import InvoiceError, issue_for_unit
from jobs.models import Document, Invoice, Job, Unit
from jobs.quoting.contract import contract_of
from jobs.templatetags.units import hours, money, signed_money

# What the demo is known for, to the cent.
EXPECTED_MONEY = {"A": 7_254_775, "B": 7_816_151, "CO-01": 19_513, "contract": 7_835_664}


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One line of the summary; `ok` is False where something is not as it must be."""

    heading: str
    text: str
    ok: bool = True


def run() -> Iterator[Line]:
    """Do the whole job and tell what came out. The demo is loaded first when it is missing."""
    job = load_demo()
    unit = Unit.objects.select_related("job").get(job=job)
    yield from _findings(job)
    yield from _proofs(job)
    yield from _money(job)
    yield from _stages(unit)
    yield from _quality(unit)
    yield from _steps(unit)
    packet = _packet(unit)
    yield from _packet_lines(packet)
    yield from _acceptance(packet)
    yield _invoice(unit)
    yield from _service(unit)
    broken = verify_all()
    yield Line(
        heading="Evidence", text=" ".join(broken) or "every link and photo proved", ok=not broken
    )


def _findings(job: Job) -> Iterator[Line]:
    found = review(job)
    counts = ", ".join(f"{count} {severity}" for severity, count in found.counts.items())
    yield Line(heading="Findings", text=counts)
    expected = {(f["rule"], f["subject"], f["severity"]) for f in read("findings")["findings"]}
    actual = {
        (each.finding.rule, each.finding.subject, str(each.finding.severity))
        for each in found.problems
    }
    for rule, subject, severity in sorted(actual - expected):
        yield Line(heading="Findings", text=f"not expected: {severity} {rule} {subject}", ok=False)
    for rule, subject, severity in sorted(expected - actual):
        yield Line(heading="Findings", text=f"missing: {severity} {rule} {subject}", ok=False)
    first, second = (r.findings for r in job.design_revisions.order_by("number")[:2])
    before, after = (
        next(f for f in findings if f["rule"] == "voltage_drop" and f["subject"] == "A-02")
        for findings in (first, second)
    )
    ok = before["severity"] == "fail" and after["severity"] == "pass"
    text = f"A-02 on 14 AWG {before['severity']}, on 12 AWG {after['severity']}"
    yield Line(heading="History", text=f"{text}: {after['message']}", ok=ok)


# Interlocks that the first version of the demo's logic is known to break.
REFUTED = {"1.2": {"I1", "I2"}, "1.3": set()}


def _proofs(job: Job) -> Iterator[Line]:
    for kept in job.logic_versions.order_by("id"):
        proofs = proofs_of(kept)
        refuted = {proof.name for proof in proofs if proof.state != "pass"}
        text = f"logic {kept.version}: {len(proofs) - len(refuted)} proved, {len(refuted)} not"
        yield Line(heading="Proofs", text=text, ok=refuted == REFUTED[kept.version])
        for proof in proofs:
            if proof.state != "pass":
                yield Line(heading="Proofs", text=f"{proof.label}: {proof.text}")


def _steps(unit: Unit) -> Iterator[Line]:
    """What the second program kept of the first one's tests, and what it asked anew."""
    steps = unit.checks.exclude(about="")
    now = steps.filter(retired=False)
    kept = now.filter(tolerance_source__startswith="Control logic 1.2,").count()
    again = now.filter(replaces__isnull=False).count()
    gone = steps.filter(retired=True).count() - again
    text = (
        f"logic 1.3: {kept} kept their results, {again} asked again, "
        f"{now.count() - kept - again} new, {gone} gone"
    )
    yield Line(heading="Test steps", text=text, ok=kept > 0 and again > 0)


def _money(job: Job) -> Iterator[Line]:
    totals = {quote.revision: quote.total_cents for quote in job.quotes.all()}
    totals |= {str(change): change.amount_cents for change in job.changes.all()}
    contract = contract_of(job)
    totals["contract"] = contract.total_cents if contract else 0
    for name, cents in totals.items():
        text = signed_money(cents) if name.startswith("CO") else money(cents)
        yield Line(heading="Money", text=f"{name} {text}", ok=EXPECTED_MONEY[name] == cents)
    for order in job.purchase_orders.all():
        held = " ".join(order.mismatches)
        yield Line(
            heading="Money",
            text=f"order {order.number}: {f'held. {held}' if order.held else 'fits'}",
            ok=order.held == (order.revision_typed == "A"),
        )


def _stages(unit: Unit) -> Iterator[Line]:
    states = Counter(stage.get_state_display() for stage in unit.stages.all())
    booked = unit.stages.aggregate(minutes=Sum("events__minutes"))["minutes"] or 0
    planned = sum(stage.planned_minutes for stage in unit.stages.all())
    words = ", ".join(f"{count} {state.lower()}" for state, count in states.items())
    yield Line(heading="Stages", text=f"{words}; booked {hours(booked)}, planned {hours(planned)}")


def _quality(unit: Unit) -> Iterator[Line]:
    checks = unit.checks.filter(retired=False)
    states = Counter(check.get_state_display() for check in checks)
    words = ", ".join(f"{count} {state.lower()}" for state, count in states.items())
    yield Line(
        heading="Checks",
        text=f"{words}; {unit.results.count()} entries in the record",
        ok=set(states) == {"Pass"},
    )
    for defect in unit.defects.all():
        yield Line(
            heading="Checks",
            text=f"{defect} {defect.get_state_display().lower()}: {defect.found}",
            ok=defect.state == "closed",
        )


def _packet(unit: Unit) -> Packet:
    work_off()
    newest = unit.packets.first()
    accepted = unit.acceptances.first()
    # An accepted packet stays the one; a later change of the record would make a new revision.
    packet = accepted.packet if accepted else build_packet(unit=unit, by="demo job")
    if newest is None or packet.pk != newest.pk:
        work_off()
    packet.document.refresh_from_db()
    return packet


def _packet_lines(packet: Packet) -> Iterator[Line]:
    document = packet.document
    done = document.state == Document.State.DONE
    text = f"{document.page_count} sheets, revision {packet.revision}" if done else document.error
    yield Line(heading="Packet", text=text or document.get_state_display(), ok=done)
    if done:
        yield Line(heading="Packet", text=str(document_path(document.file_sha256)))


def _acceptance(packet: Packet) -> Iterator[Line]:
    facts = read("work")["acceptance"]
    given = packet.unit.acceptances.first()
    if given is None and packet.document.state == Document.State.DONE:
        given = accept_unit(
            packet=packet,
            answer="accepted",
            name=facts["name"],
            items=facts["items"],
            packet_sha256=packet.data_sha256,
        )
    text = f"{given.get_answer_display().lower()} by {given.name}" if given else "not yet"
    yield Line(heading="Handover", text=text, ok=given is not None)


def _service(unit: Unit) -> Iterator[Line]:
    """The visit after acceptance, and the circuit that its symptom leads to."""
    case = visit(unit, make_people())
    hits = find(AsBuilt(unit), case.symptom)
    found = hits[0].circuit.ref if hits else "nothing"
    number = AsBuilt(unit).number
    text = f"{case} closed, as-built revision {number}; its symptom leads to {found}"
    yield Line(heading="Service", text=text, ok=bool(case.closed_at) and found == "A-09")


def _invoice(unit: Unit) -> Line:
    """The accepted unit is invoiced for exactly what was approved."""
    found = Invoice.objects.filter(unit=unit).first()
    if found is None:
        try:
            found = issue_for_unit(unit=unit, by=User.objects.get(username="nessa"))
        except InvoiceError as error:
            return Line(heading="Invoice", text=str(error), ok=False)
    ok = found.due_cents == EXPECTED_MONEY["contract"]
    return Line(heading="Invoice", text=f"{found} {money(found.due_cents)}", ok=ok)
