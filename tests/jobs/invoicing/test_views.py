from datetime import date

import pytest
from django.urls import reverse

from jobs.fleet.actions import add_difference
from jobs.invoicing import actions
from jobs.invoicing.costs import costs_of
from jobs.models import Invoice
from tests.factories import (
    make_approved_quote,
    make_exempt_agency,
    make_job,
    make_line,
    make_part,
    make_unit,
)

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


@pytest.fixture
def unit(manager, monkeypatch):
    job = make_job(agency=make_exempt_agency())
    unit = make_unit(job=job, number="U-1")
    make_approved_quote(by=manager, job=job)
    monkeypatch.setattr(actions, "ACCEPTED", [lambda one: date(2026, 6, 9)])
    return unit


def test_an_invoice_is_issued_paid_and_exported_by_clicks(client, manager, unit):
    client.force_login(manager)
    number = unit.job.number
    assert "Issue invoice for U-1" in client.get(url("job_money", number)).content.decode()
    assert client.post(url("invoice_unit", number, "U-1")).status_code == 302
    assert client.post(url("invoice_unit", number, "U-1")).status_code == 409
    invoice = Invoice.objects.get()
    assert invoice.number in client.get(url("invoice_list")).content.decode()
    page = url("invoice_detail", invoice.number)
    assert client.post(page, {"on": "2099-01-01"}).status_code == 422
    assert client.post(page, {"on": str(invoice.issued_on)}).status_code == 302
    csv = client.get(url("invoice_export") + "?state=all")
    assert invoice.number in csv.content.decode()
    assert client.get(url("invoice_export") + "?since=never").status_code == 422
    assert client.get(url("invoice_list") + "?since=never").status_code == 422
    assert client.get(url("invoice_pdf_status", invoice.number)).status_code == 200


def test_money_is_for_the_office(client, technician, unit):
    client.force_login(technician)
    for page in (url("invoice_list"), url("job_money", unit.job.number)):
        assert client.get(page).status_code == 403


def test_empty_pages_say_what_comes_first(client, manager):
    client.force_login(manager)
    assert "No invoice waits" in client.get(url("invoice_list")).content.decode()
    assert "Nothing is owed" in client.get(url("job_money", make_job().number)).content.decode()
    assert client.get(url("invoice_detail", "I-0")).status_code == 404
    assert client.post(url("invoice_deposit", make_job().number)).status_code == 409


def test_nothing_left_offers_no_balance_invoice(client, manager, unit):
    client.force_login(manager)
    where = url("job_money", unit.job.number)
    assert "Left to invoice" in client.get(where).content.decode()
    client.post(url("invoice_unit", unit.job.number, "U-1"))
    page = client.get(where).content.decode()
    assert "<dd>nothing</dd>" in page
    assert "Issue balance invoice" not in page
    assert client.post(url("invoice_balance", unit.job.number)).status_code == 409


def test_planned_parts_follow_what_each_unit_gets(manager, unit):
    job = unit.job
    part = make_part(code="CAM-9", cost_cents=1_000)
    line = make_line(job=job, ref="L90", part=part, quantity=4)
    before = costs_of(job).planned_parts_cents
    other = make_unit(job=job, number="U-2")
    assert costs_of(job).planned_parts_cents == 2 * before
    add_difference(units=[other], line=line, pieces=1, text="", by=manager)
    assert costs_of(job).planned_parts_cents == 2 * before - 3_000
