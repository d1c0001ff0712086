from hypothesis import given
from hypothesis import strategies as st

from jobs.stages.models import Stage
from jobs.stages.transitions import MOVES, STATE_WORDS, next_state

MOVE_NAMES = sorted({move for _, move in MOVES})


def test_next_state_leads_from_waiting_to_signed_by_the_usual_moves():
    state = "waiting"
    for move in ("start", "stop", "start", "finish", "sign"):
        state = next_state(state=state, move=move)
    assert state == "signed"


def test_next_state_refuses_to_skip_the_work():
    assert next_state(state="waiting", move="finish") is None
    assert next_state(state="working", move="sign") is None
    assert next_state(state="signed", move="start") is None


@given(st.lists(st.sampled_from(MOVE_NAMES), max_size=30))
def test_next_state_never_leaves_the_known_states(moves):
    state = "waiting"
    for move in moves:
        state = next_state(state=state, move=move) or state
        assert state in STATE_WORDS


def test_states_are_those_of_the_table():
    assert set(STATE_WORDS) == set(Stage.State.values)
