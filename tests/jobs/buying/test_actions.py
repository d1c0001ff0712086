import pytest
from django.db import DatabaseError, transaction

from jobs.buying import actions
from jobs.buying.actions import BuyingError
from jobs.buying.needs import part_needs, shares_of_job
from jobs.buying.standings import parts_standings
from jobs.models import Job, Purchase, StockMove, Supplier
from tests.factories import make_job, make_line, make_part, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def supplier():
    return Supplier.objects.create(name="Northmere Electrical Supply")


def approved(**fields):
    return make_job(state=Job.State.APPROVED, **fields)


def ordered(part, pieces, supplier, by):
    (purchase,) = actions.order_parts(wanted={part: pieces}, suppliers={part: supplier}, by=by)
    actions.send_purchase(purchase=purchase, version=purchase.version, expected_on=None, by=by)
    purchase.refresh_from_db()
    return purchase


def received(part, pieces, supplier, by, serials=()):
    line = ordered(part, pieces, supplier, by).lines.get()
    actions.receive(line=line, pieces=pieces, serials=serials, seen=0, by=by)


def test_needs_of_all_open_jobs_are_seen_together_and_shortages_first(manager, supplier):
    part, other = make_part(code="A-HEAD", lead_days=10), make_part(code="B-BOX")
    first, second = approved(promised_on="2026-05-01"), approved(promised_on="2026-06-01")
    make_line(job=first, part=part, quantity=3)
    make_unit(job=first)
    make_unit(job=first)
    make_line(job=second, part=part, quantity=2)
    make_line(job=second, ref="L02", part=other, ownership="agency")
    make_line(job=make_job(), part=other)  # not approved: no need
    received(part, 5, supplier, manager)
    (one,) = part_needs()
    assert (one.part, one.needed, one.in_stock, one.on_order, one.short) == (part, 8, 5, 0, 3)
    assert str(one.by) == "2026-05-01"
    assert str(one.order_by) == "2026-04-21"
    assert shares_of_job(second)["L01"].short == 2


def test_an_order_asked_for_twice_holds_the_larger_number(manager, supplier):
    part = make_part()
    for pieces in (4, 6, 6):
        actions.order_parts(wanted={part: pieces}, suppliers={part: supplier}, by=manager)
    assert Purchase.objects.get().lines.get().quantity == 6


def test_a_part_without_a_supplier_is_not_ordered(manager):
    with pytest.raises(BuyingError, match="from whom"):
        actions.order_parts(wanted={make_part(): 1}, suppliers={}, by=manager)


def test_receipts_close_the_order_and_never_exceed_it(manager, supplier):
    part = make_part()
    purchase = ordered(part, 5, supplier, manager)
    line = purchase.lines.get()
    actions.receive(line=line, pieces=2, serials=(), seen=0, by=manager)
    line.refresh_from_db()
    with pytest.raises(BuyingError, match="meanwhile"):
        actions.receive(line=line, pieces=1, serials=(), seen=0, by=manager)
    with pytest.raises(BuyingError, match="3 are still to come"):
        actions.receive(line=line, pieces=4, serials=(), seen=2, by=manager)
    actions.receive(line=line, pieces=3, serials=(), seen=2, by=manager)
    purchase.refresh_from_db()
    assert purchase.state == Purchase.State.RECEIVED
    assert actions.in_stock(part) == 5
    with pytest.raises(BuyingError, match="come already"):
        actions.cancel_purchase(purchase=purchase, by=manager)


def test_a_sent_order_stays_as_it_is(manager, supplier):
    purchase = ordered(make_part(), 1, supplier, manager)
    with pytest.raises(BuyingError, match="meanwhile"):
        actions.send_purchase(purchase=purchase, version=0, expected_on=None, by=manager)
    part = make_part()
    actions.order_parts(wanted={part: 1}, suppliers={part: supplier}, by=manager)
    assert sorted(Purchase.objects.values_list("state", flat=True)) == ["draft", "sent"]
    assert purchase.lines.count() == 1


def test_tracked_parts_keep_their_serial_numbers_from_receipt_to_unit(manager, supplier):
    part = make_part(serial_tracked=True)
    job = approved()
    line, unit = make_line(job=job, part=part, quantity=2), make_unit(job=job)
    purchase_line = ordered(part, 2, supplier, manager).lines.get()
    for serials in ((), ("S1",), ("S1", "S1")):
        with pytest.raises(BuyingError, match="serial numbers"):
            actions.receive(line=purchase_line, pieces=2, serials=serials, seen=0, by=manager)
    actions.receive(line=purchase_line, pieces=2, serials=("S1", "S2"), seen=0, by=manager)
    with pytest.raises(BuyingError, match="serial numbers"):
        actions.pick(line=line, unit=unit, pieces=2, seen=0, by=manager)
    actions.pick(line=line, unit=unit, pieces=2, seen=0, by=manager, serials=("S1", "S2"))
    assert sorted(unit.serials.values_list("serial", flat=True)) == ["S1", "S2"]


def test_picking_takes_what_is_there_and_what_the_line_needs(manager, supplier):
    part, job = make_part(), approved()
    line, unit = make_line(job=job, part=part, quantity=3), make_unit(job=job)
    with pytest.raises(BuyingError, match="0 in stock"):
        actions.pick(line=line, unit=unit, pieces=1, seen=0, by=manager)
    received(part, 10, supplier, manager)
    with pytest.raises(BuyingError, match="needs 3 more"):
        actions.pick(line=line, unit=unit, pieces=4, seen=0, by=manager)
    actions.pick(line=line, unit=unit, pieces=3, seen=0, by=manager)
    with pytest.raises(BuyingError, match="meanwhile"):
        actions.pick(line=line, unit=unit, pieces=3, seen=0, by=manager)
    assert actions.in_stock(part) == 7
    actions.put_back(line=line, unit=unit, by=manager)
    assert actions.in_stock(part) == 10


def test_a_count_is_a_move_of_its_own(manager, supplier):
    part = make_part()
    received(part, 4, supplier, manager)
    assert actions.count_stock(part=part, found=3, seen=4, note="One broken", by=manager) == -1
    assert actions.in_stock(part) == 3
    with pytest.raises(BuyingError, match="moved while you counted"):
        actions.count_stock(part=part, found=9, seen=4, note="", by=manager)


def test_moves_cannot_be_changed(manager, supplier):
    part = make_part()
    received(part, 1, supplier, manager)
    with pytest.raises(DatabaseError), transaction.atomic():
        StockMove.objects.update(quantity=100)


def test_a_substitute_that_fails_the_design_is_refused(manager):
    job = make_wired_job()
    line = job.lines.get()
    make_part(code="FITS", draws=[{"average_ma": 500, "peak_ma": 1_000}])
    make_part(code="GREEDY", draws=[{"average_ma": 9_000, "peak_ma": 18_000}])
    with pytest.raises(BuyingError, match="does not fit the design"):
        actions.substitute(
            line=line, part_code="GREEDY", version=line.version, reason="x", by=manager
        )
    line.refresh_from_db()
    actions.substitute(line=line, part_code="FITS", version=line.version, reason="x", by=manager)
    line = job.lines.get()
    assert line.part.part.code == "FITS"
    with pytest.raises(BuyingError, match="somebody else"):
        actions.substitute(line=line, part_code="FITS", version=0, reason="x", by=manager)


def test_where_a_job_stands_with_its_parts(manager, supplier, django_assert_max_num_queries):
    part, job = make_part(), approved()
    line, unit = make_line(job=job, part=part, quantity=2), make_unit(job=job)
    assert parts_standings([job]) == {}
    received(make_part(), 1, supplier, manager)
    assert "short" in parts_standings([job])[job.pk].detail
    received(part, 2, supplier, manager)
    assert "1 lines to pick" in parts_standings([job])[job.pk].detail
    actions.pick(line=line, unit=unit, pieces=2, seen=0, by=manager)
    assert parts_standings([job])[job.pk].detail == "every part is picked"
    with django_assert_max_num_queries(10):
        parts_standings([job, approved(), approved()])
