import secrets
from datetime import timedelta

import pytest
from django.http import HttpResponse
from django.utils import timezone

from jobs.intake import links
from jobs.models import AuditEvent, CustomerLink
from tests.factories import make_job


@pytest.fixture
def link_and_token(manager):
    return links.make_link(
        job=make_job(),
        purpose=links.QUOTE,
        subject_id=7,
        sent_to="buyer@agency.example",
        by=manager,
    )


@links.opened_by_link(links.QUOTE)
def page(request, link):
    return HttpResponse(f"subject {link.subject_id}")


@pytest.fixture
def get(rf, shop):
    def open_page(token, ip="192.0.2.7"):
        return page(rf.get("/q/x/", REMOTE_ADDR=ip), token)

    return open_page


def test_make_link_keeps_only_the_hash_of_the_token(link_and_token):
    link, token = link_and_token
    stored = CustomerLink.objects.values().get()
    assert link.token_sha256 == links.hash_of(token)
    assert not any(token in str(value) for value in stored.values())
    assert not any(token in event.sentence for event in AuditEvent.objects.all())


def test_make_link_is_valid_for_30_days(link_and_token):
    link, _ = link_and_token
    left = link.expires_at - timezone.now()
    assert timedelta(days=29, hours=23) < left <= timedelta(days=30)


def test_find_link_returns_the_link_and_notes_its_use(link_and_token):
    link, token = link_and_token
    assert links.find_link(token, links.QUOTE) == link
    link.refresh_from_db()
    assert link.last_used_at is not None


@pytest.mark.parametrize("spoil", ["other purpose", "unknown", "expired", "revoked", "cancelled"])
def test_find_link_answers_none_alike(link_and_token, manager, spoil):
    link, token = link_and_token
    purpose = links.PACKET if spoil == "other purpose" else links.QUOTE
    if spoil == "unknown":
        token = secrets.token_urlsafe(32)
    if spoil == "expired":
        CustomerLink.objects.update(expires_at=timezone.now())
    if spoil == "revoked":
        links.revoke_link(link=link, by=manager)
    if spoil == "cancelled":
        link.job.state = "cancelled"
        link.job.save(update_fields=["state"])
    assert links.find_link(token, purpose) is None


def test_revoke_link_twice_says_so(link_and_token, manager):
    link, _ = link_and_token
    links.revoke_link(link=link, by=manager)
    with pytest.raises(links.LinkGoneError, match="withdrawn already"):
        links.revoke_link(link=link, by=manager)
    assert AuditEvent.objects.filter(verb="withdrew").count() == 1


def test_opened_by_link_hands_over_the_link_and_hides_its_address(link_and_token, get):
    response = get(link_and_token[1])
    assert response.content == b"subject 7"
    assert response["Cache-Control"] == "no-store"
    assert response["Referrer-Policy"] == "same-origin"
    assert response["X-Robots-Tag"] == "noindex"


def test_opened_by_link_answers_unknown_links_with_404_and_a_way_out(get):
    response = get("unknown")
    assert response.status_code == 404
    assert "555 0100" in response.content.decode()


def test_opened_by_link_stops_guessing_after_30_misses_a_minute(link_and_token, get, monkeypatch):
    now = timezone.now()
    monkeypatch.setattr(links.timezone, "now", lambda: now)
    answers = [get(secrets.token_urlsafe(32)).status_code for _ in range(31)]
    assert answers == [404] * 30 + [429]
    assert get(link_and_token[1]).status_code == 429
    assert get(link_and_token[1], ip="192.0.2.8").status_code == 200
