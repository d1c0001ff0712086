from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs.audit.record import record
from jobs.intake import links
from jobs.intake.pages import ROWS
from jobs.models import Agency, AuditEvent, Job
from tests.factories import make_agency, make_job, make_requirement, make_unit
from tests.form_data import form_data


@pytest.fixture
def desk(client, manager):
    client.force_login(manager)
    return client


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


def text(answer):
    return answer.content.decode()


# --- The list ---


def test_job_list_on_an_empty_shop_says_what_to_do(desk):
    assert "No open job." in text(desk.get(url("job_list")))


def test_job_list_shows_step_next_action_and_blocker(desk):
    job = make_job(number="J-1", promised_on=date(2020, 1, 31))
    make_unit(job=job, number="SR-4")
    make_requirement(job=job, status="assumed", drives_design=True)
    page = text(desk.get(url("job_list")))
    assert "Settle 1 requirement" in page
    assert "feeds a calculation" in page
    assert "Late" in page
    assert "SR-4" in page


def test_job_list_costs_the_same_queries_for_one_job_and_for_a_full_page(desk):
    def fill(count):
        for _ in range(count):
            make_requirement(job=make_unit().job)

    fill(1)
    desk.get(url("job_list"))
    with CaptureQueriesContext(connection) as few:
        desk.get(url("job_list"))
    fill(ROWS)
    with CaptureQueriesContext(connection) as many:
        page = desk.get(url("job_list"))
    assert len(many) == len(few)
    assert len(page.context["rows"]) == ROWS


def test_job_list_continues_on_the_next_page_with_its_filters(desk):
    for _ in range(ROWS + 1):
        make_job(title="Rescue van")
    first = desk.get(url("job_list"), {"q": "rescue"})
    mark = first.context["next_after"]
    assert f"?q=rescue&amp;after={mark}" in text(first)
    assert len(desk.get(url("job_list"), {"q": "rescue", "after": mark}).context["rows"]) == 1


@pytest.mark.parametrize("query", [{"state": "lost"}, {"after": "x"}, {"agency": "99"}])
def test_job_list_refuses_unknown_filters_with_a_sentence(desk, query):
    answer = desk.get(url("job_list"), query)
    assert answer.status_code == 422
    assert answer.context["form"].errors


# --- A new job ---


def test_job_new_with_a_known_agency(desk):
    agency = make_agency(name="Kestrel Sound")
    answer = desk.post(url("job_new"), {"agency_name": "kestrel sound", "title": "Rescue van"})
    assert answer.url == url("job_detail", "J-0001")
    assert Job.objects.get().agency == agency


def test_job_new_with_a_new_agency_needs_a_tick(desk):
    typed = {"agency_name": "Kestrel Sound", "title": "Rescue van"}
    answer = desk.post(url("job_new"), typed)
    assert answer.status_code == 422
    assert "There is no agency" in text(answer)
    assert not Agency.objects.exists()
    assert desk.post(url("job_new"), {**typed, "new_agency": "on"}).status_code == 302
    assert Agency.objects.get().name == "Kestrel Sound"


def test_job_new_warns_of_an_open_job_with_the_same_name(desk):
    twin = make_job(number="J-77", agency=make_agency(name="Bay"), title="Rescue van")
    typed = {"agency_name": "Bay", "title": "rescue VAN"}
    answer = desk.post(url("job_new"), typed)
    assert answer.status_code == 422
    assert "Bay has an open job J-77 with this name." in text(answer)
    assert url("job_detail", twin.number) in text(answer)
    meant = form_data(answer, same_title_is_meant="on")
    assert desk.post(url("job_new"), meant).status_code == 302
    assert Job.objects.count() == 2


def test_job_new_says_nothing_about_a_finished_job_with_the_same_name(desk):
    make_job(agency=make_agency(name="Bay"), title="Rescue van", state="delivered")
    typed = {"agency_name": "Bay", "title": "Rescue van"}
    assert desk.post(url("job_new"), typed).status_code == 302


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"agency_name": ""}, "Agency: This needs a value"),
        ({"title": ""}, "What is built: This needs a value"),
        ({"copy_from": "J-9"}, "There is no job J-9."),
        ({"promised_on": "2020-01-31"}, "31 Jan 2020 is before today"),
        ({"title": "x" * 161}, "at most 160 characters (it has 161)"),
    ],
)
def test_job_new_names_what_is_wrong_and_uses_no_number(desk, typed, words):
    make_agency(name="Bay")
    answer = desk.post(url("job_new"), {"agency_name": "Bay", "title": "Van", **typed})
    assert answer.status_code == 422
    assert words in text(answer)
    assert desk.post(url("job_new"), {"agency_name": "Bay", "title": "V"}).url.endswith("J-0001/")


def test_job_new_knows_the_agency_it_was_asked_from(desk):
    assert 'value="Bay &amp; Cove"' in text(desk.get(url("job_new"), {"agency": "Bay & Cove"}))


# --- The job sheet ---


def test_job_detail_shows_thirteen_steps_and_the_next_action_of_the_role(desk, client, technician):
    job = make_job(promised_on=date(2099, 6, 12), state="approved")
    unit = make_unit(job=job, number="SR-4")
    page = text(desk.get(url("job_detail", unit.job.number)))
    assert page.count('class="status') >= 13
    assert "Write down what the agency needs" in page
    client.force_login(technician)
    page = text(client.get(url("job_detail", unit.job.number)))
    assert "Check in unit SR-4" in page
    assert "Cancel job" not in page


def test_job_detail_counts_open_questions_and_shows_the_last_ten_events(desk, manager):
    job = make_job()
    make_requirement(job=job)
    make_requirement(job=job, status="assumed")
    for number in range(12):
        record(by=manager, verb="noted", subject=job, job=job.number, sentence=f"Event {number}.")
    page = text(desk.get(url("job_detail", job.number)))
    assert "1 open, 1 assumed" in page
    assert "Event 11." in page
    assert "Event 2." in page
    assert "Event 1." not in page


def test_job_edit_lets_a_passed_date_stand_but_sets_no_new_one(desk):
    job = make_job(promised_on=date(2020, 1, 31))
    page = desk.get(url("job_edit", job.number))
    assert desk.post(url("job_edit", job.number), form_data(page, note="Hm")).status_code == 302
    page = desk.get(url("job_edit", job.number))
    answer = desk.post(url("job_edit", job.number), form_data(page, promised_on="2020-02-01"))
    assert answer.status_code == 422
    assert "1 Feb 2020 is before today" in text(answer)


def test_job_edit_changes_the_agency_only_before_anything_is_offered(desk):
    job = make_job()
    make_agency(name="Bay")
    edit = url("job_edit", job.number)
    assert desk.post(edit, form_data(desk.get(edit), agency="bay")).status_code == 302
    job.refresh_from_db()
    assert job.agency.name == "Bay"
    Job.objects.update(state="quoted")
    make_agency(name="Cove")
    desk.post(edit, form_data(desk.get(edit), agency="Cove"))
    job.refresh_from_db()
    assert job.agency.name == "Bay"


def test_job_cancel_wants_a_reason_and_says_when_it_is_late(desk):
    job = make_job()
    cancel = url("job_cancel", job.number)
    assert desk.post(cancel).status_code == 422
    assert desk.post(cancel, {"reason": "No money"}).status_code == 302
    answer = desk.post(cancel, {"reason": "No money"}, follow=True)
    assert "cannot be cancelled" in text(answer)
    assert AuditEvent.objects.filter(verb="cancelled").count() == 1


# --- History and links ---


def test_job_history_is_readable_and_goes_on(desk, manager):
    job = make_job()
    for number in range(ROWS + 5):
        record(by=manager, verb="noted", subject=job, job=job.number, sentence=f"Event {number}.")
    page = desk.get(url("job_history", job.number))
    assert len(page.context["events"]) == ROWS
    older = desk.get(url("job_history", job.number), {"after": page.context["next_after"]})
    assert [event.sentence for event in older.context["events"]][-1] == "Event 0."


def test_job_history_refuses_a_wrong_day(desk):
    answer = desk.get(url("job_history", make_job().number), {"since": "soon"})
    assert answer.status_code == 422
    assert "This is not a date" in text(answer)


def test_link_list_withdraws_a_link_once(desk, manager):
    job = make_job()
    link, token = links.make_link(
        job=job, purpose=links.QUOTE, subject_id=1, sent_to="Edda Quill", by=manager
    )
    assert "Edda Quill" in text(desk.get(url("link_list", job.number)))
    revoke = url("link_revoke", job.number, link.pk)
    assert desk.post(revoke).status_code == 302
    assert links.find_link(token, links.QUOTE) is None
    assert "withdrawn already" in text(desk.post(revoke, follow=True))
    assert desk.get(revoke).status_code == 405
    assert desk.post(url("link_revoke", make_job().number, link.pk)).status_code == 404


@pytest.mark.parametrize(
    "name", ["job_detail", "job_edit", "job_cancel", "job_history", "link_list"]
)
def test_an_unknown_job_is_not_found(desk, name):
    assert desk.get(url(name, "J-9999")).status_code == 404


def test_days_to_the_promised_date_are_said_in_words(desk):
    job = make_job(promised_on=timezone.localdate() + timedelta(days=1))
    assert "in 1 day<" in text(desk.get(url("job_detail", job.number)))
