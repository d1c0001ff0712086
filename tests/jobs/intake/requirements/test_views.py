import pytest
from django.urls import reverse

from jobs.models import AuditEvent, Requirement
from tests.factories import make_job, make_requirement
from tests.form_data import form_data

HTMX = {"HX-Request": "true"}


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


def text(answer):
    return answer.content.decode()


@pytest.fixture
def desk(client, manager):
    client.force_login(manager)
    return client


def settle(client, row, headers=None, **typed):
    data = {"old": row.status, "status": "confirmed", "settled_by": "Tobin Rask", **typed}
    data.setdefault("settled_on", "2026-03-16")
    address = url("requirement_status", row.job.number, row.number)
    return client.post(address, data, headers=headers or {})


def test_requirement_list_on_a_new_job_says_what_to_do(desk):
    assert "Nothing written down yet." in text(desk.get(url("requirement_list", make_job().number)))


def test_requirement_list_counts_and_warns(desk):
    job = make_job()
    make_requirement(job=job)
    make_requirement(job=job, status="assumed", drives_design=True)
    make_requirement(job=job, status="waived")
    page = text(desk.get(url("requirement_list", job.number)))
    assert "1 open, 1 assumed" in page
    assert '<a href="#rq2">RQ2</a> feeds a calculation.' in page


def test_requirement_new_can_go_on_to_another(desk):
    job = make_job()
    typed = {"text": "Mast", "source": "Call", "must": "on"}
    assert desk.post(url("requirement_new", job.number), typed).url == url(
        "requirement_list", job.number
    )
    answer = desk.post(
        url("requirement_new", job.number), {**typed, "another": "1", "assumed": "on"}
    )
    assert answer.url == url("requirement_new", job.number)
    assert list(job.requirements.values_list("number", "status", "must")) == [
        (1, "open", True),
        (2, "assumed", True),
    ]


@pytest.mark.parametrize("missing", ["text", "source"])
def test_requirement_new_wants_words_and_a_source(desk, missing):
    typed = {"text": "Mast", "source": "Call", missing: ""}
    answer = desk.post(url("requirement_new", make_job().number), typed)
    assert answer.status_code == 422
    assert not Requirement.objects.exists()


def test_requirement_edit_says_that_new_words_are_open_again(desk):
    row = make_requirement(status="confirmed")
    edit = url("requirement_edit", row.job.number, row.number)
    answer = desk.post(edit, form_data(desk.get(edit), text="Mast 14 ft"), follow=True)
    assert "so it is open again" in text(answer)


def test_requirement_edit_by_two_people_shows_both_texts(desk):
    row = make_requirement(text="Mast")
    edit = url("requirement_edit", row.job.number, row.number)
    page = desk.get(edit)
    desk.post(edit, form_data(page, text="Mast 12 ft"))
    answer = desk.post(edit, form_data(page, text="Mast 14 ft"))
    assert answer.status_code == 409
    assert "<td>Mast 12 ft</td>" in text(answer)
    assert "<td>Mast 14 ft</td>" in text(answer)


def test_status_is_set_on_the_page_without_javascript(desk):
    row = make_requirement()
    answer = settle(desk, row)
    assert answer.url == url("requirement_list", row.job.number) + "#rq1"
    assert "Confirmed by Tobin Rask on 16 Mar 2026" in text(desk.get(answer.url))


def test_status_with_htmx_answers_the_row(desk):
    row = make_requirement()
    answer = settle(desk, row, HTMX)
    assert text(answer).strip().startswith('<li id="rq1"')
    assert "Confirmed by Tobin Rask" in text(answer)


@pytest.mark.parametrize("headers", [{}, HTMX])
@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"settled_by": ""}, "A confirmed requirement names who said so."),
        ({"settled_on": ""}, "A confirmed requirement names the day."),
        ({"settled_on": "2999-01-01"}, "is after today"),
        ({"status": "lost"}, "lost is not one of the available choices"),
    ],
)
def test_settling_without_who_or_when_opens_the_row_with_its_error(desk, headers, typed, words):
    row = make_requirement()
    answer = settle(desk, row, headers, **typed)
    assert answer.status_code == 422
    assert words in text(answer)
    assert '<details class="more" open>' in text(answer)
    row.refresh_from_db()
    assert row.status == "open"


def test_status_that_somebody_set_meanwhile_is_shown(desk):
    row = make_requirement()
    settle(desk, row)
    answer = settle(desk, row, status="waived", old="open")
    assert answer.status_code == 422
    assert "Somebody else set RQ1 to confirmed meanwhile." in text(answer)


def test_a_designer_confirms_but_does_not_waive(client, designer):
    row = make_requirement()
    client.force_login(designer)
    assert settle(client, row, status="waived").status_code == 403
    row.refresh_from_db()
    assert row.status == "open"
    assert settle(client, row).status_code == 302
    assert client.get(url("requirement_edit", row.job.number, 1)).status_code == 403


def test_a_technician_reads_only(client, technician):
    row = make_requirement()
    client.force_login(technician)
    assert "Set status" not in text(client.get(url("requirement_list", row.job.number)))
    assert settle(client, row).status_code == 403


def test_copying_goes_in_two_steps(desk):
    job, old = make_job(), make_job(number="J-1")
    wanted = make_requirement(job=old, text="Mast")
    make_requirement(job=old, text="Siren")
    copy = url("requirement_copy", job.number)
    page = desk.get(copy, {"from": "j-1"})
    assert "RQ1: Mast" in text(page)
    answer = desk.post(f"{copy}?from=J-1", {"chosen": [wanted.pk]})
    assert answer.url == url("requirement_list", job.number)
    assert [row.text for row in job.requirements.all()] == ["Mast"]


def test_copying_ticks_everything_but_what_was_waived(desk):
    old = make_job(number="J-1")
    kept = make_requirement(job=old)
    make_requirement(job=old, status="waived", text="Keypad")
    page = desk.get(url("requirement_copy", make_job().number), {"from": "J-1"})
    assert form_data(page)["chosen"] == str(kept.pk)


@pytest.mark.parametrize("wanted", ["J-404", "own"])
def test_copying_from_no_other_job_says_so(desk, wanted):
    job = make_job(number="own")
    answer = desk.get(url("requirement_copy", job.number), {"from": wanted})
    assert answer.status_code == 422


def test_copying_nothing_is_refused(desk):
    make_requirement(job=make_job(number="J-1"))
    answer = desk.post(url("requirement_copy", make_job().number) + "?from=J-1")
    assert answer.status_code == 422
    assert "Choose at least one requirement." in text(answer)


def test_an_unknown_requirement_is_not_found(desk):
    job = make_job()
    assert desk.get(url("requirement_edit", job.number, 9)).status_code == 404
    assert desk.post(url("requirement_status", job.number, 9)).status_code == 404
    assert desk.get(url("requirement_status", job.number, 9)).status_code == 405


def test_every_step_is_told_in_the_history(desk):
    row = make_requirement()
    settle(desk, row)
    edit = url("requirement_edit", row.job.number, 1)
    desk.post(edit, form_data(desk.get(edit), source="Letter"))
    verbs = AuditEvent.objects.order_by("pk").values_list("verb", flat=True)
    assert list(verbs) == ["confirmed", "changed"]
