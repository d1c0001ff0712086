import pytest
from django.urls import reverse

from jobs.models import Circuit
from tests.factories import make_exempt_agency, make_job, make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def circuit_post(row, **changes):
    return {
        "ref": row.ref, "designation": row.designation, "feed": row.feed_id, "awg": "10",
        "device_kind": row.device_kind, "device_ma": "10", "insulation_c": "125",
        "length_mm": "10", "return_path": "wire", "bundle_count": "1", "version": row.version,
        "loads-TOTAL_FORMS": "0", "loads-INITIAL_FORMS": "0", **changes,
    }  # fmt: skip


@pytest.mark.parametrize("by", ["section", "zone", "stage", "nonsense"])
def test_build_sheet_groups_lines(client, technician, by):
    job = make_wired_job()
    client.force_login(technician)
    page = client.get(url("build_sheet", job), {"by": by}).content.decode()
    assert "L01" in page
    assert "Add build line" not in page


def test_build_sheet_of_an_empty_job_says_what_a_line_is(client, designer):
    client.force_login(designer)
    assert "No build line yet" in client.get(url("build_sheet", make_job())).content.decode()


def test_row_edit_saves_and_returns_to_the_schedule(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    response = client.post(url("row_edit", job, "circuit", row.pk), circuit_post(row))
    assert response.status_code == 302
    row.refresh_from_db()
    assert (row.awg, row.version) == ("10", 1)


def test_row_edit_bad_value_keeps_what_was_typed(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    client.force_login(designer)
    data = circuit_post(row, length_mm="-4", designation="Kept words")
    response = client.post(url("row_edit", job, "circuit", row.pk), data)
    assert response.status_code == 422
    page = response.content.decode()
    assert "One-way length is -4 ft; it must be above 0" in page
    assert "Kept words" in page
    assert Circuit.objects.get(pk=row.pk).designation == "Grille heads"


def test_row_edit_after_somebody_else_answers_409_and_overwrites_nothing(client, designer):
    job = make_wired_job()
    row = job.circuits.get()
    data = circuit_post(row, designation="Mine")
    Circuit.objects.filter(pk=row.pk).update(version=3, designation="Theirs")
    client.force_login(designer)
    response = client.post(url("row_edit", job, "circuit", row.pk), data)
    assert response.status_code == 409
    assert "changed by somebody else" in response.content.decode()
    assert Circuit.objects.get(pk=row.pk).designation == "Theirs"


def test_row_edit_of_another_jobs_row_is_not_found(client, designer):
    mine, other = make_wired_job(), make_wired_job()
    client.force_login(designer)
    path = url("row_edit", mine, "circuit", other.circuits.get().pk)
    assert client.get(path).status_code == 404


def test_row_add_of_an_unknown_kind_is_not_found(client, designer):
    client.force_login(designer)
    assert client.get(url("row_add", make_job(), "spoon")).status_code == 404


@pytest.mark.parametrize("kind", ["line", "circuit", "feed", "supply", "node", "mode", "payload"])
def test_row_add_offers_every_kind_and_refuses_an_empty_form(client, designer, kind):
    job = make_wired_job()
    client.force_login(designer)
    assert client.get(url("row_add", job, kind)).status_code == 200
    data = {"loads-TOTAL_FORMS": "0", "loads-INITIAL_FORMS": "0"}
    assert client.post(url("row_add", job, kind), data).status_code == 422


def test_row_add_is_for_designers_and_managers(client, technician):
    client.force_login(technician)
    assert client.get(url("row_add", make_job(), "line")).status_code == 403


def test_row_remove_of_a_used_line_says_why(client, designer):
    job = make_wired_job()
    client.force_login(designer)
    path = url("row_remove", job, "line", job.lines.get().pk)
    assert "is used by" in client.post(path, follow=True).content.decode()
    assert client.get(path).status_code == 405


def test_quote_draft_prices_the_sheet_and_opens_the_quote(client, manager):
    job = make_wired_job(job=make_job(agency=make_exempt_agency()))
    client.force_login(manager)
    client.post(url("quote_draft", job))
    response = client.post(url("quote_draft", job))
    assert response["Location"] == url("quote_detail", job, "A")
    assert job.quotes.get().total_cents == 4 * 14_800 + 3 * 11_800 + 1_776


def test_quote_draft_of_an_empty_sheet_says_so(client, manager):
    job = make_job()
    client.force_login(manager)
    page = client.post(url("quote_draft", job), follow=True).content.decode()
    assert "has no line yet" in page
    assert not job.quotes.exists()


def test_quote_draft_is_for_managers_by_post(client, designer, manager):
    client.force_login(designer)
    assert client.post(url("quote_draft", make_job())).status_code == 403
    client.force_login(manager)
    assert client.get(url("quote_draft", make_job())).status_code == 405
