"""Which move a stage may make. One pure table; everything else asks it."""

WAITING, WORKING, FINISHED, SIGNED = "waiting", "working", "finished", "signed"

MOVES: dict[tuple[str, str], str] = {
    (WAITING, "start"): WORKING,
    (WORKING, "start"): WORKING,
    (WORKING, "stop"): WORKING,
    (WORKING, "finish"): FINISHED,
    (FINISHED, "reopen"): WORKING,
    (FINISHED, "sign"): SIGNED,
    (SIGNED, "reopen"): WORKING,
}

STATE_WORDS = {
    WAITING: "not started",
    WORKING: "in work",
    FINISHED: "finished",
    SIGNED: "signed off",
}


def next_state(*, state: str, move: str) -> str | None:
    """The state after a move, or None where the move is not allowed.

    >>> next_state(state="waiting", move="start")
    'working'
    >>> next_state(state="waiting", move="sign") is None
    True
    """
    return MOVES.get((state, move))
