"""The logic step by step: settings and seconds in, outputs and lamp patterns out.

A moment is judged at once when settings change, and again whenever a delay runs out. This is the
plain reading of the rules; the proofs use the circuit of model.py and must agree with it.
"""

from collections.abc import Iterable
from dataclasses import replace

from jobs.controls.logic import Logic
from jobs.controls.moments import Judged, Lookup, Outcome, State, Timer
from jobs.controls.order import LogicError
from jobs.controls.results import Setting

MAX_EVENTS = 10_000


class Machine:
    """One logic, ready to run. Holds no state of its own."""

    def __init__(self, logic: Logic) -> None:
        self.lookup = Lookup(logic)

    def start(self) -> State:
        """Power-up: nothing latched, no timer running, no button counted as just pressed."""
        return State()

    def step(self, state: State, settings: Iterable[Setting], seconds: float = 0) -> Outcome:
        """The settings hold for so many seconds. Signals left out are at rest and known."""
        now = {setting.signal: setting for setting in settings}
        outcome = Judged(self.lookup, state, now).outcome()
        if seconds > 0:
            outcome = Judged(self.lookup, outcome.state, now).outcome()
        for _ in range(MAX_EVENTS):
            if seconds <= 0:
                return outcome
            passing = min(seconds, self._until_event_s(outcome.state))
            outcome = Judged(self.lookup, _aged(outcome.state, passing), now).outcome()
            seconds -= passing
        raise LogicError(f"The outputs still change after {MAX_EVENTS:,} delays.")

    def _until_event_s(self, state: State) -> float:
        """Seconds until the next delay runs out."""
        left = (
            self.lookup.limit_s(timer.rule, state.delayed) - timer.seconds for timer in state.timers
        )
        return min((each for each in left if each > 0), default=float("inf"))


def _aged(state: State, seconds: float) -> State:
    timers = tuple(
        Timer(rule=timer.rule, seconds=timer.seconds + seconds) for timer in state.timers
    )
    return replace(state, timers=timers)
