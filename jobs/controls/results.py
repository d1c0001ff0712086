"""What a proof hands back. Never a plain yes or no: the reason comes with it."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Setting:
    """A signal's true value, as text, and whether the inputs can see it."""

    signal: str
    value: str
    known: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Moment:
    """All signals that play a part, rules whose delays matter, and the outputs then on.

    `waited` rules have been true for their whole on delay, `held` ones are inside their off delay.
    """

    settings: tuple[Setting, ...]
    waited: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    on: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Counterexample:
    """How to bring the broken state about: moments in order, the last one shows it.

    `matters` are the settings of the last moment without which it would not break; whatever is not
    named there may have any value.
    """

    sentence: str
    matters: tuple[Setting, ...]
    moments: tuple[Moment, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proved:
    """Holds in every state that can be reached. `how` says what was searched."""

    states_checked: int
    how: str
    witness: Counterexample | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Refuted:
    counterexample: Counterexample


@dataclass(frozen=True, kw_only=True, slots=True)
class TooLarge:
    """Neither proved nor refuted. Counts as not proved."""

    reason: str


Result = Proved | Refuted | TooLarge
