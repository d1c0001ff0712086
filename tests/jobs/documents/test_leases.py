"""Claims: one worker a row, for a limited time, by the database's clock."""

from datetime import timedelta

from django.db.models.functions import Now

from jobs.documents.leases import claim_document, claim_work, mine, release_all
from jobs.documents.models import Document, SectionWork
from tests.papers import ask, section


def run_out() -> None:
    Document.objects.update(lease_until=Now() - timedelta(seconds=1))


def test_oldest_document_is_claimed_first_and_once(db) -> None:
    first, second = ask([section(lead="1")]), ask([section(lead="2")])
    assert [claim_document(), claim_document(), claim_document()] == [first, second, None]


def test_claim_counts_the_attempt_and_sets_a_limit(db) -> None:
    ask()
    claimed = claim_document()
    assert (claimed.state, claimed.attempts) == (Document.State.RUNNING, 1)
    assert claimed.lease_until is not None


def test_document_of_a_dead_worker_is_claimed_again(db) -> None:
    ask()
    first = claim_document()
    run_out()
    second = claim_document()
    assert second == first
    assert second.attempts == 2
    assert mine(second).exists() and not mine(first).exists()


def test_finished_and_failed_documents_are_left_alone(db) -> None:
    for state in (Document.State.DONE, Document.State.FAILED):
        ask([section(lead=state)])
        Document.objects.update(state=state)
        run_out()
    assert claim_document() is None


def test_heaviest_section_is_claimed_first_and_once(db) -> None:
    ask()
    document = claim_document()
    for number, weight in enumerate([5, 50, 10]):
        SectionWork.objects.create(document=document, number=number, weight=weight)
    assert [claim_work().number for _ in range(3)] == [1, 2, 0]
    assert claim_work() is None


def test_sections_of_a_waiting_document_are_not_claimed(db) -> None:
    SectionWork.objects.create(document=ask(), number=0, weight=1)
    assert claim_work() is None


def test_section_of_a_dead_helper_is_claimed_again(db) -> None:
    ask()
    work = SectionWork.objects.create(document=claim_document(), number=0, weight=1)
    claim_work()
    SectionWork.objects.update(lease_until=Now() - timedelta(seconds=1))
    again = claim_work(work.document)
    assert again == work
    assert again.attempts == 2


def test_starting_worker_takes_everything_over(db) -> None:
    ask()
    claim_document()
    release_all()
    assert claim_document().attempts == 2
