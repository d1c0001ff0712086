"""A vehicle under test: what is set, what the logic remembers, and what it then does."""

from dataclasses import dataclass

from jobs.controls.evaluate import Machine
from jobs.controls.model import Model
from jobs.controls.moments import Outcome, State
from jobs.controls.readings import Role, Variable
from jobs.controls.results import Setting

MAX_WAIT_S = 120.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Played:
    """One moment as it was played: what changed, how long was waited, what was seen."""

    restarted: bool
    changes: tuple[Setting, ...]
    restored: tuple[str, ...]
    wait_s: float
    at_once: Outcome
    outcome: Outcome


class Runner:
    """Plays moments on the machine and keeps track in the model's variables."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.machine = Machine(model.logic)
        self.signals = model.readings.signals
        self.settings = {
            name: Setting(signal=name, value=signal.example(signal.rest_index))
            for name, signal in self.signals.items()
        }
        self.state = self.machine.start()

    def now(self) -> int:
        """The inputs as they are set and what is carried over, as a mask of true variables."""
        return sum(
            1 << number
            for number, variable in enumerate(self.model.readings.variables)
            if self._is_true(variable)
        )

    def _is_true(self, variable: Variable) -> bool:
        match variable.role:
            case Role.VALUE:
                signal = self.signals[variable.name]
                value = signal.index(self.settings[variable.name].value)
                return bool(value >> variable.bit & 1)
            case Role.KNOWN:
                return self.settings[variable.name].known
            case Role.WAS if variable.tag == "latch":
                return variable.name in self.state.latched
            case Role.WAS:
                return variable.name in self.state.delayed
            case Role.BEFORE:
                return self._before(variable)
            case _:
                return False

    def _before(self, variable: Variable) -> bool:
        rising = bool(variable.bit)
        signal = self.signals[variable.name]
        for each in self.state.seen:
            if each.signal == variable.name and each.rising == rising:
                tag = "true" if each.eyes.true_values else str(each.eyes.substitute(signal))
                if tag == variable.tag:
                    return each.reads
        return variable.starts

    def play(
        self,
        settings: list[Setting],
        own: set[str],
        *,
        at_least_s: float = 0,
        may_restart: bool = False,
    ) -> Played:
        """Set these signals, then wait until the delays of the `own` rules are over.

        With `may_restart`, a delay that would take longer than MAX_WAIT_S after something went off
        is cut short by restarting the logic first.
        """
        changes = tuple(each for each in settings if self.settings[each.signal] != each)
        restored = tuple(
            each.signal for each in changes if each.known and not self.settings[each.signal].known
        )
        self.settings |= {each.signal: each for each in changes}
        at_once = self._step(self.state, 0)
        wait = max(at_least_s, self._left_s(at_once.state, own))
        held = any(rule in at_once.state.delayed for rule in own)
        restarted = may_restart and held and wait > MAX_WAIT_S
        if restarted:
            at_once = self._step(self.machine.start(), 0)
            wait = max(at_least_s, self._left_s(at_once.state, own))
        outcome = self._step(at_once.state, wait) if wait else at_once
        self.state = outcome.state
        return Played(
            restarted=restarted,
            changes=changes,
            restored=restored,
            wait_s=wait,
            at_once=at_once,
            outcome=outcome,
        )

    def running(self) -> set[str]:
        """Rules whose delay runs while nothing is changed."""
        return {timer.rule for timer in self._step(self.state, 0).state.timers}

    def _step(self, state: State, seconds: float) -> Outcome:
        return self.machine.step(state, self.settings.values(), seconds)

    def _left_s(self, state: State, own: set[str]) -> float:
        limit_s = self.machine.lookup.limit_s
        left = (
            limit_s(timer.rule, state.delayed) - timer.seconds
            for timer in state.timers
            if timer.rule in own
        )
        return max(left, default=0.0)
