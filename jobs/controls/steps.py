"""What a test on the vehicle is made of: set this, expect that."""

from dataclasses import dataclass

from jobs.controls.logic import Logic
from jobs.controls.mcdc import Form
from jobs.controls.results import Setting
from jobs.controls.signals import Wiring
from jobs.controls.words import Words, capital, listed, verb


@dataclass(frozen=True, kw_only=True, slots=True)
class Act:
    """Signals to set, after a restart of the logic if need be, and how long to wait then.

    `restored` are those among them that could not be read before.
    """

    changes: tuple[Setting, ...]
    restored: tuple[str, ...] = ()
    wait_s: float = 0
    restart: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Expectation:
    """An output that is on or off, or a head that shows a pattern (empty: dark).

    `at_once` is how it is before the waiting, where that differs.
    """

    name: str
    on: bool = False
    pattern: str | None = None
    at_once: bool | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Assertion:
    """One thing that a step shows: a row of a decision, a pattern of a head, a fault.

    `key` names it and stays while rules change. `digest` changes with its settings, its outcome or
    the text of its rules; a result counts as long as the digest is the same.
    """

    key: str
    digest: str
    expect: Expectation
    settings: tuple[Setting, ...]
    rules: tuple[str, ...] = ()
    safety: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """Acts in order, then what must be seen."""

    number: int
    acts: tuple[Act, ...]
    asserts: tuple[Assertion, ...]
    instruction: str
    expected: str
    cautions: tuple[str, ...] = ()

    @property
    def changes(self) -> int:
        """How many things are set."""
        return sum(len(act.changes) + act.restart for act in self.acts)


@dataclass(frozen=True, kw_only=True, slots=True)
class NotShown:
    """A condition that no step can show to decide, and why."""

    output: str
    condition: str
    reason: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Coverage:
    """How the conditions of one decision are shown."""

    decision: str
    output: str
    conditions: int
    rows: int
    form: Form


@dataclass(frozen=True, kw_only=True, slots=True)
class TestPlan:
    __test__ = False

    steps: tuple[Step, ...]
    coverage: tuple[Coverage, ...]
    not_shown: tuple[NotShown, ...]


class StepWords:
    """Steps in the words of the bay."""

    def __init__(self, logic: Logic) -> None:
        self.words = Words(logic)
        self.heads = {head.name: head.label for head in logic.heads}
        self.internal = {output.name for output in logic.outputs if output.internal}
        self.caution = {output.name: output.caution for output in logic.outputs}

    def instruction(self, acts: tuple[Act, ...]) -> str:
        return "\n".join(f"{capital(self.act(act))}." for act in acts)

    def act(self, act: Act) -> str:
        parts = ["restart the logic"] if act.restart else []
        for each in act.changes:
            again = "connect again: " if each.signal in act.restored else ""
            parts.append(again + self.change(each))
        if act.wait_s:
            parts.append(f"wait {act.wait_s:g} s")
        return "; ".join(parts) or "change nothing"

    def change(self, setting: Setting) -> str:
        signal = self.words.signals[setting.signal]
        if setting.known:
            return f"{signal.label}: {signal.words(signal.index(setting.value))}"
        source = f" ({signal.source})" if signal.source else ""
        verb = "stop the data of" if signal.wiring is Wiring.BUS else "unplug"
        return f"{verb} {signal.label}{source}"

    def expected(self, expect: tuple[Expectation, ...]) -> str:
        return capital(listed([self.expectation(each) for each in expect], "and")) + "."

    def expectation(self, each: Expectation) -> str:
        if each.pattern is not None:
            return f"{self.heads[each.name]}: {each.pattern or 'dark'}"
        where = " (service screen)" if each.name in self.internal else ""
        state = _state(each.on)
        if each.at_once is not None:
            state = f"{_state(each.at_once)} at first, {state} after the wait"
        label = self.words.outputs[each.name]
        return f"{label}{where} {verb(label)} {state}"

    def cautions(self, acts: tuple[Act, ...], expect: tuple[Expectation, ...]) -> tuple[str, ...]:
        """Cautions of everything that is set or comes on, each once."""
        changed = [change.signal for act in acts for change in act.changes]
        found = [self.words.signals[name].caution for name in changed]
        found += [self.caution.get(each.name, "") for each in expect if each.on]
        return tuple(dict.fromkeys(each for each in found if each))


def _state(on: bool) -> str:
    return "on" if on else "off"
