from datetime import timedelta

from django.utils import timezone

from jobs.models import Job, PurchaseOrder, Stage
from tests.factories import make_job, make_notice, make_unit


def page(client, person) -> str:
    client.force_login(person)
    answer = client.get("/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_each_role_sees_its_own_day(client, manager, designer, technician, inspector):
    make_job()
    headings = {
        manager: ["Waiting for a decision", "Jobs by promised date"],
        designer: ["Jobs by promised date"],
        technician: ["My work now"],
        inspector: ["Units waiting for inspection"],
    }
    every = {words for found in headings.values() for words in found}
    for person, wanted in headings.items():
        text = page(client, person)
        assert {words for words in every if words in text} == set(wanted)


def test_one_person_with_every_role_sees_everything(client, owner):
    make_job()
    text = page(client, owner)
    for words in ("My work now", "Units waiting", "Waiting for a decision", "Jobs by promised"):
        assert words in text


def test_a_new_shop_tells_its_manager_the_next_step(client, manager, technician):
    text = page(client, manager)
    assert "Getting the shop going" in text
    assert "Jobs by promised date" not in text
    assert "Getting the shop going" not in page(client, technician)


def test_a_technician_sees_the_stage_and_what_blocks_it(client, technician):
    unit = make_unit(job=make_job(state=Job.State.BUILDING), number="SR-77")
    first = Stage.objects.create(unit=unit, code="S10", name="Strip", position=1)
    second = Stage.objects.create(unit=unit, code="S20", name="Wire", position=2)
    second.prerequisites.add(first)
    second.people.add(technician)
    text = page(client, technician)
    assert "SR-77" in text
    assert "S10 Strip is not started." in text
    assert text.index("Ready to start") < text.index("Cannot start yet")


def test_a_manager_sees_held_orders_and_late_dates(client, manager):
    yesterday = timezone.localdate() - timedelta(days=1)
    job = make_job(promised_on=yesterday)
    PurchaseOrder.objects.create(
        job=job,
        number="PO-5",
        revision_typed="A",
        total_cents=1,
        received_on=yesterday,
        held=True,
        mismatches=["total", "revision"],
        entered_by="Mona Ash",
    )
    text = page(client, manager)
    assert "Order PO-5 is held: 2 mismatches to the quote." in text
    assert "1 day late" in text


def test_my_day_takes_no_form(client, manager):
    client.force_login(manager)
    assert client.post("/").status_code == 405


def test_many_jobs_come_page_by_page(client, manager):
    days = [timezone.localdate() + timedelta(days=place) for place in range(30)]
    jobs = [make_job(promised_on=day) for day in days]
    first = page(client, manager)
    assert jobs[24].number in first
    assert jobs[25].number not in first
    assert "1 to 25 of 30" in first
    assert 'href="?jobs=2#jobs"' in first
    second = client.get("/?jobs=2").content.decode()
    assert jobs[29].number in second
    assert jobs[0].number not in second
    assert client.get("/?jobs=none&decisions=99").status_code == 200


def test_e_mail_that_could_not_be_sent_is_told_to_the_office(client, manager, technician):
    make_job()
    make_notice(state="failed")
    assert "1 e-mail could not be sent" in page(client, manager)
    assert "could not be sent" not in page(client, technician)


def test_a_new_shop_sets_its_rates_first(client, manager, shop):
    type(shop).objects.update(labour_rate_cents=0)
    assert 'btn-main" href="/shop/">Set the rates' in page(client, manager)
    type(shop).objects.update(labour_rate_cents=11_800)
    assert 'btn-main" href="/shop/"' not in page(client, manager)
