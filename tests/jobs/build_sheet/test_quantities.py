import pytest

from jobs.build_sheet.quantities import quantity_findings
from jobs.build_sheet.quoting import quote_from_sheet
from jobs.findings import Severity
from jobs.models import CircuitLoad, Quote, QuoteLine
from tests.factories import make_line, make_part, make_wired_job

pytestmark = pytest.mark.django_db
PASS, FAIL, WARNING = Severity.PASS, Severity.FAIL, Severity.WARNING


def found(job, rule="schedule_quantity"):
    return [(f.subject, f.severity, f.message) for f in quantity_findings(job) if f.rule == rule]


@pytest.mark.parametrize(
    ("pieces", "severity", "words"),
    [
        (3, FAIL, "4 on the build sheet, only 3 on circuits."),
        (4, PASS, "4 on the build sheet, 4 on circuits."),
        (5, FAIL, "5 on circuits, 4 on the build sheet."),
    ],
)
def test_each_piece_of_the_build_sheet_hangs_on_a_circuit(pieces, severity, words):
    job = make_wired_job()
    CircuitLoad.objects.update(quantity=pieces)
    assert found(job) == [("line L01", severity, words)]


def test_pieces_on_several_circuits_are_added_and_functions_counted_apart():
    job = make_wired_job()
    load = CircuitLoad.objects.get()
    CircuitLoad.objects.update(quantity=3)
    second = job.circuits.get()
    second.pk, second.ref, second._state.adding = None, "A-02", True
    second.save()
    CircuitLoad.objects.create(circuit=second, line=load.line, quantity=1)
    CircuitLoad.objects.create(circuit=second, line=load.line, quantity=4, function="low")
    assert [severity for _, severity, _ in found(job)] == [PASS]


def test_what_draws_current_and_hangs_nowhere_is_worth_a_look_and_a_bracket_is_not():
    job = make_wired_job()
    make_line(job=job, ref="L02", part=make_part(draws=[{"average_ma": 900, "peak_ma": 900}]))
    make_line(job=job, ref="L03", part=make_part(draws=[]))
    assert ("line L02", WARNING, "Draws current and hangs on no circuit.") in found(job)
    assert "line L03" not in [subject for subject, _, _ in found(job)]


def test_what_was_sold_is_compared_once_a_quote_is_approved(manager):
    job = make_wired_job()
    quote = quote_from_sheet(job=job, by=manager)
    job.lines.update(quantity=6)
    assert found(job, "sold_quantity") == []
    Quote.objects.filter(pk=quote.pk).update(state=Quote.State.APPROVED)
    assert found(job, "sold_quantity") == [("line L01", WARNING, "6 on the build sheet, 4 sold.")]
    QuoteLine.objects.filter(quote=quote, ref="L01").update(quantity=6)
    assert found(job, "sold_quantity") == []
    make_line(job=job, ref="L09")
    assert found(job, "sold_quantity") == [("line L09", WARNING, "1 on the build sheet, 0 sold.")]
