from hypothesis import given
from hypothesis import strategies as st

from inspections.checklists.state import Event, standing, state_of


def result(sequence, verdict, person=1, *, base=0, version=1):
    return Event(
        sequence=sequence, kind="result", verdict=verdict, person=person,
        check_version=version, base_sequence=base,
    )  # fmt: skip


def void(sequence, voids):
    return Event(sequence=sequence, kind="void", verdict="", person=1, check_version=1, voids=voids)


def reopen(sequence):
    return Event(sequence=sequence, kind="reopen", verdict="", person=1, check_version=1)


def test_state_of_no_events_is_open():
    assert state_of([], version=1) == "open"


def test_state_of_the_last_result_counts():
    assert state_of([result(1, "fail"), result(2, "pass", base=1)], version=1) == "pass"


def test_state_of_a_void_strikes_only_the_result_it_names():
    events = [result(1, "pass"), result(2, "fail", base=1), void(3, 2)]
    assert state_of(events, version=1) == "pass"
    assert state_of([result(1, "pass"), void(2, 1)], version=1) == "open"


def test_state_of_a_reopened_check_asks_again_until_a_new_result():
    assert state_of([result(1, "pass"), reopen(2)], version=1) == "again"
    assert state_of([result(1, "fail"), reopen(2), result(3, "pass", 2)], version=1) == "pass"


def test_state_of_a_result_for_an_older_question_asks_again():
    assert state_of([result(1, "pass", version=1)], version=2) == "again"


def test_state_of_two_people_who_did_not_know_of_each_other_needs_a_decision():
    events = [result(1, "pass", 1), result(2, "fail", 2, base=0)]
    assert state_of(events, version=1) == "decision"


def test_state_of_two_people_who_agree_needs_none():
    events = [result(1, "pass", 1), result(2, "pass", 2, base=0)]
    assert state_of(events, version=1) == "pass"


def test_state_of_a_retest_that_saw_the_fail_is_no_conflict():
    events = [result(1, "fail", 1), result(2, "pass", 2, base=1)]
    assert state_of(events, version=1) == "pass"


def test_state_of_one_person_who_changes_their_mind_is_no_conflict():
    events = [result(1, "fail", 1), result(2, "pass", 1, base=0)]
    assert state_of(events, version=1) == "pass"


@given(st.lists(st.sampled_from(["pass", "fail", "na"]), min_size=1, max_size=8))
def test_state_of_striking_everything_opens_the_check(verdicts):
    events = [result(n, verdict) for n, verdict in enumerate(verdicts, start=1)]
    strikes = [void(len(events) + n, n) for n in range(1, len(events) + 1)]
    assert state_of([*events, *strikes], version=1) == "open"
    assert standing([*events, *strikes]) == []
