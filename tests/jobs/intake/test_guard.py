"""Two people edit one row at once, on the job as the example."""

from datetime import date

import pytest
from django.urls import reverse

from jobs.intake.guard import StaleError, in_words, update_guarded
from jobs.intake.sheet.forms import JobForm
from jobs.models import AuditEvent
from tests.factories import make_job
from tests.form_data import form_data


@pytest.fixture
def job(db):
    return make_job(
        number="J-0007", title="Rescue van", note="Two keys", promised_on=date(2099, 6, 12)
    )


@pytest.fixture
def two_pages(client, manager, job):
    """The same form opened twice, and a function that sends one of them."""
    client.force_login(manager)
    url = reverse("jobs:job_edit", args=[job.number])
    first, second = client.get(url), client.get(url)

    def send(page, **typed):
        return client.post(url, form_data(page, **typed))

    return first, second, send


def test_update_guarded_writes_what_differs_and_counts_one_version(job):
    changed = update_guarded(job, version=0, values={"title": "Patrol car", "note": "Two keys"})
    assert (changed, job.title, job.version) == (["title"], "Patrol car", 1)


def test_update_guarded_refuses_an_old_version_and_writes_nothing(job):
    update_guarded(job, version=0, values={"title": "Patrol car"})
    with pytest.raises(StaleError) as caught:
        update_guarded(job, version=0, values={"note": "Three keys"})
    assert caught.value.stored.note == "Two keys"


def test_update_guarded_is_quiet_about_the_same_values_sent_twice(job):
    update_guarded(job, version=0, values={"title": "Patrol car"})
    assert update_guarded(job, version=0, values={"title": "Patrol car"}) == []


def test_second_person_gets_409_with_both_texts_and_nothing_is_written(two_pages, job):
    first, second, send = two_pages
    assert send(first, title="Patrol car").status_code == 302
    answer = send(second, title="Rescue van, long")
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "<td>Patrol car</td>" in page
    assert "<td>Rescue van, long</td>" in page
    job.refresh_from_db()
    assert job.title == "Patrol car"
    assert AuditEvent.objects.filter(verb="changed").count() == 1


def test_saving_once_more_after_a_conflict_keeps_what_both_wanted(two_pages, job):
    first, second, send = two_pages
    send(first, title="Patrol car", note="Three keys")
    conflict = send(second, title="Rescue van, long")
    assert send(conflict).status_code == 302
    job.refresh_from_db()
    assert job.title == "Rescue van, long"  # what the second typed and saw compared
    assert job.note == "Three keys"  # what the second never touched


def test_a_third_person_in_between_does_not_swallow_the_kept_text(two_pages, job):
    first, second, send = two_pages
    send(first, title="Patrol car")
    conflict = send(second, title="Rescue van, long")
    update_guarded(job, version=1, values={"title": "Fire car", "vehicle": "Van"})
    again = send(conflict)
    assert again.status_code == 409
    assert form_data(again)["title"] == "Rescue van, long"
    assert form_data(again)["vehicle"] == "Van"


def test_a_double_click_saves_once_without_a_complaint(two_pages, job):
    first, _, send = two_pages
    assert send(first, title="Patrol car").status_code == 302
    assert send(first, title="Patrol car").status_code == 302
    assert AuditEvent.objects.filter(verb="changed").count() == 1


def test_a_form_with_errors_keeps_the_version_it_was_opened_on(two_pages):
    first, _, send = two_pages
    answer = send(first, title="")
    assert answer.status_code == 422
    assert form_data(answer)["version"] == "0"


def test_validating_leaves_the_row_of_the_page_alone(job):
    form = JobForm({"title": "Other", "agency": job.agency.name, "version": "0"}, instance=job)
    form.full_clean()
    assert job.title == "Rescue van"


@pytest.mark.parametrize(
    ("value", "words"), [(None, "nothing"), ("", "nothing"), (True, "yes"), (False, "no")]
)
def test_in_words_says_plain_values(value, words):
    assert in_words(JobForm.base_fields["note"], value) == words
