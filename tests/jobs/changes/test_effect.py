from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.build_sheet.quoting import priced_inputs
from jobs.changes.edits import EditError, make, words
from jobs.changes.effect import effect_of_edits, price_lines
from jobs.models import BuildLine, Circuit, CircuitLoad
from jobs.quoting.pricing import PricedInput, Terms, change_price, price, standard_rates
from tests.factories import make_line, make_part, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    job = make_wired_job()
    make_unit(job=job, wheelbase_mm=3_759, received_front_g=1_500_000, received_rear_g=1_200_000)
    return job


def said(job, *edits):
    return " ".join(effect_of_edits(job, list(edits)).sentences)


def test_more_pieces_tell_hours_weight_amps_voltage_and_checks(job):
    words_ = said(job, {"op": "quantity", "ref": "L01", "from": 4, "to": 6})
    assert "L01: 6 pieces instead of 4" in words_
    assert "Labour +1.50 h" in words_
    assert "S6 +1.50 h" in words_
    assert "Weight +1.2 lb" in words_
    assert "A-01 carries 3.6 → 5.4 A average, 7.2 → 10.8 A peak" in words_
    assert "drop to the load" in words_
    assert "A carries" in words_
    assert "checks to be done again" in words_.lower()


def test_working_out_an_effect_leaves_nothing_behind(job):
    before = list(BuildLine.objects.values()), list(CircuitLoad.objects.values())
    said(job, {"op": "quantity", "ref": "L01", "to": 9}, {"op": "remove", "ref": "L01"})
    assert (list(BuildLine.objects.values()), list(CircuitLoad.objects.values())) == before


def test_a_part_that_draws_too_much_shows_its_finding(job):
    make_part(code="BIG", draws=[{"average_ma": 9_000, "peak_ma": 18_000}])
    words_ = said(job, {"op": "part", "ref": "L01", "from": "x", "part_code": "BIG"})
    assert "Finding appeared: A-01" in words_


def test_a_new_line_hangs_on_its_circuit(job):
    part = make_part(code="NEW")
    edit = {"op": "add", "part_code": "NEW", "quantity": 2, "section": "warning", "zone": "rear",
            "stage": "S6", "circuit": "A-01"}  # fmt: skip
    assert make(job, [edit]) == ["L02"]
    assert job.lines.get(ref="L02").loads.get().circuit.ref == "A-01"
    assert job.lines.get(ref="L02").part == part.current
    assert "on circuit A-01" in words(edit)


def test_fewer_pieces_leave_the_last_circuit_first(job):
    line = job.lines.get()
    circuit = Circuit.objects.get(job=job)
    circuit.pk, circuit.ref = None, "A-02"
    circuit.save()
    CircuitLoad.objects.create(circuit=circuit, line=line, quantity=2)
    BuildLine.objects.filter(pk=line.pk).update(quantity=6)
    make(job, [{"op": "quantity", "ref": "L01", "to": 3}])
    assert list(line.loads.order_by("id").values_list("quantity", flat=True)) == [3]


@pytest.mark.parametrize(
    ("edit", "sentence"),
    [
        ({"op": "quantity", "ref": "L77", "to": 2}, "no build line L77"),
        ({"op": "part", "ref": "L01", "part_code": "NONE"}, "not in the catalog"),
        ({"op": "add", "part_code": "X1", "quantity": 1, "section": "warning", "zone": "rear",
          "circuit": "Z-9"}, "no circuit Z-9"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_a_sentence(job, edit, sentence):
    make_part(code="X1")
    with pytest.raises(EditError, match=sentence):
        effect_of_edits(job, [edit])
    assert job.lines.count() == 1


# Money


def test_price_lines_of_a_quantity_are_signed(job):
    effect = effect_of_edits(job, [{"op": "quantity", "ref": "L01", "to": 1}])
    (line,) = effect.lines
    assert (line.quantity, line.minutes) == (Decimal(-3), -135)


sheets = st.dictionaries(
    st.sampled_from(["L1", "L2", "L3", "L4"]),
    st.builds(
        PricedInput,
        section=st.just("S"),
        code=st.sampled_from(["A", "B"]),
        description=st.just("x"),
        quantity=st.integers(1, 20).map(Decimal),
        unit_cents=st.sampled_from([100, 1_234_500]),
        minutes=st.integers(0, 3_000),
    ),
)


@given(sheets, sheets)
def test_price_lines_turn_one_price_into_the_other_without_discount(before, after):
    """With whole cents a minute nothing is rounded, so the law is exact."""
    terms = Terms(rates=standard_rates(6_000))
    change = change_price(price_lines(before, after), terms)
    old, new = (price([*one.values()], terms) for one in (before, after))
    assert change.total_cents == new.total_cents - old.total_cents


def test_the_same_sheet_has_no_price_lines(job):
    now = {item.ref: item for item in priced_inputs(job)}
    assert price_lines(now, now) == []
    assert make_line(job=job, ref="L09").ref == "L09"
