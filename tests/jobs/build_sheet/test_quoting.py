from decimal import Decimal

import pytest

from jobs.build_sheet.quoting import priced_inputs, quote_from_sheet
from jobs.quoting.pricing import Kind
from tests.factories import make_exempt_agency, make_job, make_line, make_part

pytestmark = pytest.mark.django_db


def test_priced_inputs_take_price_and_labour_from_the_datasheet():
    job = make_job()
    part = make_part(list_price_cents=14_800, labour_minutes=45)
    make_line(job=job, ref="L02", part=part, quantity=4)
    (item,) = priced_inputs(job)
    assert (item.kind, item.ref, item.quantity) == (Kind.PART, "L02", Decimal(4))
    assert (item.unit_cents, item.minutes) == (14_800, 180)


def test_priced_inputs_charge_labour_only_for_agency_equipment():
    job = make_job()
    make_line(job=job, part=make_part(list_price_cents=90_000), ownership="agency")
    (item,) = priced_inputs(job)
    assert item.unit_cents == 0
    assert item.minutes == 45


def test_priced_inputs_pass_sublet_work_on():
    job = make_job()
    make_line(job=job, part=make_part(labour_minutes=0), ownership="sublet", section="sublet")
    (item,) = priced_inputs(job)
    assert item.kind == Kind.SUBLET


def test_priced_inputs_follow_the_order_of_the_build():
    job = make_job()
    make_line(job=job, ref="L02", section="scene", part=make_part())
    make_line(job=job, ref="L09", section="warning", part=make_part())
    assert [item.ref for item in priced_inputs(job)] == ["L09", "L02"]


def test_quote_from_sheet_drafts_and_then_updates_the_draft(manager):
    job = make_job(agency=make_exempt_agency())
    line = make_line(job=job, part=make_part(list_price_cents=10_000, labour_minutes=60))
    first = quote_from_sheet(job=job, by=manager)
    assert first.total_cents == 10_000 + 11_800 + 300
    line.quantity = 2
    line.save()
    again = quote_from_sheet(job=job, by=manager)
    assert again.pk == first.pk
    assert again.total_cents == 2 * (10_000 + 11_800 + 300)
