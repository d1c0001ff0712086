"""The customer's page: what it shows, what it never shows, and signing training."""

import pytest
from django.urls import reverse

from inspections.as_built.actions import add_place, add_place_photos, show_to_customer
from inspections.demo.queue import work_off
from inspections.handover.actions import acceptance_blockers, build_packet, record_training
from inspections.handover.papers import papers_of
from inspections.models import PlacePhoto, PunchItem, Training
from jobs.intake.links import PACKET, make_link, revoke_link
from jobs.models import Quote
from jobs.photos.actions import store_photo
from jobs.photos.tasks import drain_photos
from tests.browser import OFFICE_TARGET, PHONE, axe, scrolls_sideways, too_small
from tests.factories import (
    make_approved_quote,
    make_draft_quote,
    make_unit,
    make_working_unit,
)
from tests.inspections.handover.test_actions import finished_packet
from tests.pictures import saved, test_card, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


@pytest.fixture
def token(unit, manager):
    return make_link(
        job=unit.job, purpose=PACKET, subject_id=unit.pk, sent_to="Edda Quill", by=manager
    )[1]


def url(name, *args):
    return reverse(f"inspections:{name}", args=args)


def photo_of(unit, by, caption, *, shown):
    place = add_place(
        unit=unit, by=by, kind="part", ref=caption[:8], name="N", zone="roof", where="W",
        hidden=False,
    )  # fmt: skip
    stored = store_photo(file=upload("a.jpg", saved(test_card(caption))), by=by)
    add_place_photos(place=place, photos=[stored], caption=caption, for_customer=shown, by=by)
    drain_photos()
    return PlacePhoto.objects.get(caption=caption)


def test_packet_open_tells_progress_in_plain_words(client, unit, token):
    page = client.get(url("packet_open", token)).content.decode()
    assert "Building has not begun" in page
    unit.stages.filter(position=unit.stages.first().position).update(state="working")
    page = client.get(url("packet_open", token)).content.decode()
    assert "Being built: 0 of" in page
    assert "steps of work are done; now:" in page
    unit.stages.update(state="signed")
    assert "Built: all" in client.get(url("packet_open", token)).content.decode()


def test_packet_photo_shows_chosen_photos_of_this_unit_only(client, unit, token, manager):
    chosen = photo_of(unit, manager, "chosen", shown=True)
    private = photo_of(unit, manager, "private", shown=False)
    stranger = photo_of(make_unit(number="SR-9"), manager, "stranger", shown=True)
    page = client.get(url("packet_open", token)).content.decode()
    assert "chosen" in page
    assert "private" not in page
    assert "stranger" not in page
    answer = client.get(url("packet_photo", token, chosen.pk, 400))
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/jpeg"
    assert b"".join(answer.streaming_content)[:2] == b"\xff\xd8"
    for photo, size in ((private, 400), (stranger, 400), (chosen, 500)):
        assert client.get(url("packet_photo", token, photo.pk, size)).status_code == 404
    show_to_customer(photo=chosen, shown=False, by=manager)
    assert client.get(url("packet_photo", token, chosen.pk, 400)).status_code == 404


def test_training_sign_is_given_once_by_name(client, unit, token, manager):
    row = record_training(unit=unit, by=manager, name="Tobin", topics="Mast", on="2026-01-02")
    path = url("training_sign", token, row.pk)
    assert client.get(path).status_code == 405
    assert client.post(path, {"name": "  "}).status_code == 422
    assert client.post(path, {"name": "Tobin Rask"}).status_code == 302
    again = client.post(path, {"name": "Somebody"})
    assert again.status_code == 409
    assert "is signed already" in again.content.decode()
    assert Training.objects.get().signed_by == "Tobin Rask"


def test_training_sign_of_another_unit_is_not_found(client, token, manager):
    other = make_unit(number="SR-9")
    row = record_training(unit=other, by=manager, name="X", topics="Y", on="2026-01-02")
    assert client.post(url("training_sign", token, row.pk), {"name": "X"}).status_code == 404


def test_every_address_of_the_page_closes_with_its_link(client, unit, token, manager):
    photo = photo_of(unit, manager, "chosen", shown=True)
    row = record_training(unit=unit, by=manager, name="T", topics="M", on="2026-01-02")
    revoke_link(link=unit.job.links.get(), by=manager)
    assert client.get(url("packet_open", token)).status_code == 404
    assert client.get(url("packet_open_file", token)).status_code == 404
    assert client.get(url("packet_paper", token, "A")).status_code == 404
    assert client.get(url("packet_photo", token, photo.pk, 400)).status_code == 404
    assert client.post(url("training_sign", token, row.pk), {"name": "T"}).status_code == 404


def test_the_page_has_no_trace_of_other_units_and_jobs(client, unit, token, manager):
    sister = make_unit(job=unit.job, number="SISTER-UNIT")
    stranger = make_unit(number="STRANGE-UNIT")
    build_packet(unit=unit, by=manager)
    page = client.get(url("packet_open", token)).content.decode()
    for secret in (sister.number, stranger.number, stranger.job.number, stranger.job.agency.name):
        assert secret not in page


def test_an_open_safety_item_bars_acceptance(unit, inspector, manager):
    packet = finished_packet(unit, inspector, manager)
    assert acceptance_blockers(packet) == []
    PunchItem.objects.create(unit=unit, text="Seat belt anchor", safety=True)
    assert acceptance_blockers(packet) == ["A safety item is open: Seat belt anchor."]


@pytest.mark.slow
@pytest.mark.browser
def test_the_page_works_on_a_phone(open_as, unit, token, manager, inspector):
    photo_of(unit, manager, "chosen", shown=True)
    record_training(unit=unit, by=manager, name="Tobin", topics="Mast", on="2026-01-02")
    finished_packet(unit, inspector, manager)
    page = open_as(None, url("packet_open", token), viewport=PHONE)
    axe(page)
    assert not scrolls_sideways(page)
    assert too_small(page, OFFICE_TARGET) == []
    page.get_by_label("Name of the trained person").fill("Tobin Rask")
    page.get_by_role("button", name="I was trained").click()
    assert "Tobin Rask" in page.inner_text("main")
    page.get_by_label("Your name").fill("Edda Quill")
    page.get_by_role("button", name="Accept vehicle").click()
    page.wait_for_selector(".notice-ok")
    assert "Accepted by Edda Quill" in page.inner_text("main")


def test_packet_paper_gives_what_was_offered_as_it_was_offered(client, unit, token, manager):
    quote = make_approved_quote(by=manager, job=unit.job, tax="none")
    make_draft_quote(by=manager, job=unit.job)
    page = client.get(url("packet_open", token)).content.decode()
    assert f"Quote revision {quote.revision}" in page
    assert "approved by Edda Quill" in page
    assert client.get(url("packet_paper", token, quote.revision)).status_code == 404  # not made yet
    work_off()
    page = client.get(url("packet_open", token)).content.decode()
    assert url("packet_paper", token, quote.revision) in page
    answer = client.get(url("packet_paper", token, quote.revision))
    assert b"".join(answer.streaming_content)[:5] == b"%PDF-"


def test_packet_paper_of_drafts_and_other_jobs_is_not_found(client, unit, token, manager):
    strange = make_approved_quote(by=manager)
    draft = make_draft_quote(by=manager, job=unit.job)
    page = client.get(url("packet_open", token)).content.decode()
    assert "Quote revision" not in page
    for key in (draft.revision, strange.revision, "CO-01", "..", "%00"):
        path = url("packet_paper", token, "KEY").replace("KEY", key)
        assert client.get(path).status_code == 404


def test_papers_that_were_withdrawn_are_not_shown(client, unit, token, manager):
    quote = make_approved_quote(by=manager, job=unit.job, tax="none")
    Quote.objects.filter(pk=quote.pk).update(state="withdrawn")
    assert papers_of(unit.job) == []
