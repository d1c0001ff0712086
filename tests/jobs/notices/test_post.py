import socket
from datetime import timedelta
from smtplib import SMTPRecipientsRefused, SMTPServerDisconnected

import pytest
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.db.models.functions import Now

from jobs.models import Notice
from jobs.notices import post
from jobs.notices.post import HIDDEN, WAITS, claim_notice, deliver
from jobs.notices.tasks import drain_notices, sweep_notices
from jobs.quoting.decisions import decide_quote
from tests.factories import make_notice, make_offered_quote

pytestmark = pytest.mark.django_db
LINK = "https://shop.example/q/secret/"


class Refusing(BaseEmailBackend):
    """A post server that says no, in the way it is told to."""

    answer: Exception

    def send_messages(self, messages):
        raise self.answer


@pytest.fixture
def post_server_says(settings):
    settings.EMAIL_BACKEND = f"{__name__}.Refusing"

    def says(answer):
        Refusing.answer = answer

    return says


@pytest.fixture
def nobody_listens(settings):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port


def test_what_waits_is_sent_once_with_its_link_which_is_then_forgotten():
    make_notice(text=f"Look here: {HIDDEN}", link=LINK)
    drain_notices()
    drain_notices()
    (sent,) = mail.outbox
    assert LINK in sent.body
    assert LINK in sent.alternatives[0].content
    notice = Notice.objects.get()
    assert (notice.state, notice.link) == (Notice.State.SENT, "")
    assert notice.sent_at
    assert HIDDEN in notice.text


def test_two_workers_never_take_the_same_one():
    make_notice()
    assert claim_notice()
    assert claim_notice() is None


def test_a_worker_that_died_is_replaced_when_its_time_is_over():
    notice = make_notice()
    claim_notice()
    Notice.objects.update(lease_until=Now() - post.LEASE)
    assert claim_notice() == notice


def test_a_post_server_that_is_down_undoes_nothing_and_is_tried_again_later(
    manager, shop, nobody_listens
):
    quote = make_offered_quote(by=manager)
    make_notice()
    decide_quote(quote=quote, answer="declined", name="Edda Quill", digest=quote.digest)
    drain_notices()
    notice = Notice.objects.get()
    assert (notice.state, notice.tries) == (Notice.State.WAITING, 1)
    assert "127.0.0.1" in notice.error
    assert "refused" in notice.error
    assert claim_notice() is None
    Notice.objects.update(due_at=Now() - WAITS[0])
    assert claim_notice() == notice


def test_after_the_last_try_it_is_given_up_with_the_reason(post_server_says):
    post_server_says(SMTPServerDisconnected("it hung up"))
    make_notice(link=LINK, text=HIDDEN)
    for _ in range(len(WAITS) + 1):
        Notice.objects.update(due_at=None)
        deliver(claim_notice())
    notice = Notice.objects.get()
    assert notice.state == Notice.State.FAILED
    assert "it hung up" in notice.error
    assert notice.link == LINK


@pytest.mark.parametrize(
    ("code", "state"), [(550, Notice.State.FAILED), (450, Notice.State.WAITING)]
)
def test_an_address_refused_for_good_is_not_tried_again(post_server_says, code, state):
    post_server_says(SMTPRecipientsRefused({"edda@agency.example": (code, b"No such person")}))
    make_notice()
    drain_notices()
    notice = Notice.objects.get()
    assert notice.state == state
    assert "No such person" in notice.error


def test_an_unforeseen_fault_stops_neither_the_queue_nor_the_worker(post_server_says):
    post_server_says(KeyError("x"))
    make_notice()
    make_notice()
    drain_notices()
    assert [one.error for one in Notice.objects.all()] == ["KeyError"] * 2


def test_without_its_link_nothing_is_sent():
    make_notice(text=HIDDEN)
    drain_notices()
    assert mail.outbox == []
    assert Notice.objects.get().state == Notice.State.FAILED


def test_links_that_ended_are_forgotten():
    make_notice(link=LINK, state=Notice.State.FAILED)
    sweep_notices()
    assert Notice.objects.get().link == LINK
    Notice.objects.update(at=Now() - timedelta(days=31))
    sweep_notices()
    assert Notice.objects.get().link == ""


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_real_worker_sends_it(append_only, worker, shop):
    make_notice()
    worker.wait_for(lambda: Notice.objects.get().state == Notice.State.SENT, what="it is sent")
    assert "Subject: Answered" in worker.log.read_text()
