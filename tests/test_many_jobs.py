"""Ten thousand jobs: every list answers with a fixed number of queries, in time, by an index.

Time is processor time, so that a busy machine changes nothing.
"""

import time
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.models import (
    BuildLine,
    Invoice,
    Job,
    Notice,
    Purchase,
    Quote,
    StockMove,
    Supplier,
    Unit,
)
from jobs.stages.planned import plan_stages
from tests.factories import make_agency, make_part

JOBS, IN_WORK = 10_000, 120
# Thirty units, each with a stage or two whose reasons for waiting are looked up.
MOST_ON_THE_BOARD = 260
TODAY = date(2026, 6, 1)
LISTS = {
    "inspections:my_day": "",
    "job_list": "",
    "buying_list": "",
    "purchase_list": "?state=all",
    "stock_list": "",
    "supplier_list": "",
    "invoice_list": "?state=all",
    "notice_list": "",
    "kit_list": "",
    "agency_list": "",
    "plan_board": "",
    "stage_board": "",
    "search": "?q=J-09999",
}


@pytest.fixture
def crowded(manager, django_db_blocker):
    """10,000 jobs with a unit each, most delivered; some in work with lines and stages."""
    agency, part = make_agency(), make_part(lead_days=10)
    states = [Job.State.BUILDING] * IN_WORK + [Job.State.DELIVERED] * (JOBS - IN_WORK)
    jobs = Job.objects.bulk_create(
        Job(
            number=f"J-{place:05d}", agency=agency, title="Rescue van", state=state,
            promised_on=TODAY + timedelta(days=place % 300),
        )
        for place, state in enumerate(states)
    )  # fmt: skip
    jobs = list(Job.objects.order_by("number"))
    units = Unit.objects.bulk_create(Unit(job=job, number="U-1") for job in jobs)
    BuildLine.objects.bulk_create(
        BuildLine(
            job=job, ref=f"L{place:02d}", part=part.current, section="warning", zone="front",
            stage="S6",
        )
        for job in jobs[:IN_WORK]
        for place in range(20)
    )  # fmt: skip
    for unit in Unit.objects.filter(job__in=jobs[:40]).select_related("job"):
        plan_stages(unit=unit, by=manager)
    suppliers = Supplier.objects.bulk_create(Supplier(name=f"Supplier {n}") for n in range(200))
    suppliers = list(Supplier.objects.all())
    Purchase.objects.bulk_create(
        Purchase(number=f"B-{n}", supplier=suppliers[n % 200], created_by="x") for n in range(2_000)
    )
    StockMove.objects.bulk_create(
        StockMove(part=part, kind="receipt", quantity=1, by=manager) for _ in range(2_000)
    )
    units = list(Unit.objects.order_by("id").select_related("job")[:3_000])
    Invoice.objects.bulk_create(
        Invoice(
            number=f"I-{n}", job=unit.job, unit=unit, kind="unit", gross_cents=1, due_cents=1,
            bill_to="x", issued_on=TODAY, due_on=TODAY, issued_by=manager,
        )
        for n, unit in enumerate(units)
    )  # fmt: skip
    Notice.objects.bulk_create(
        Notice(kind="answered", to="a@b.example", subject="x", text="x") for _ in range(2_000)
    )
    Quote.objects.bulk_create(
        Quote(
            job=job, number=f"Q-{job.number}", revision="A", state=Quote.State.OFFERED,
            price_date=TODAY, valid_until=TODAY, labour_rate_cents=1,
        )
        for job in jobs[:3_000]
    )  # fmt: skip
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")  # as PostgreSQL does by itself soon after


@pytest.mark.slow
def test_every_list_is_usable_with_ten_thousand_jobs(client, manager, crowded):
    client.force_login(manager)
    slow, busy = {}, {}
    for name, query in LISTS.items():
        path = reverse(name if ":" in name else f"jobs:{name}") + query
        client.get(path)
        started = time.process_time()
        with CaptureQueriesContext(
            connection,
        ) as queries:
            page = client.get(path)
        seconds = time.process_time() - started
        assert page.status_code == 200
        assert len(page.content) < 400_000, name
        if seconds > 3:
            slow[name] = seconds
        if len(queries) > (MOST_ON_THE_BOARD if name == "stage_board" else 40):
            busy[name] = len(queries)
        print(f"{name}: {len(queries)} queries, {seconds:.2f} s, {len(page.content) // 1024} kB")
    assert slow == {}
    assert busy == {}


@pytest.mark.slow
def test_open_jobs_are_found_by_an_index(crowded):
    rows = Job.objects.filter(state=Job.State.BUILDING).order_by("promised_on", "id")[:50]
    plan = rows.explain()
    assert "jobs_job_board" in plan or "Index" in plan
