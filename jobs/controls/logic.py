"""Control logic as values: rules, lamp heads, interlocks, nodes. Frozen, no framework."""

from dataclasses import dataclass
from enum import StrEnum

from jobs.controls.expressions import Expression
from jobs.controls.signals import Signal, Substitution


@dataclass(frozen=True, kw_only=True, slots=True)
class Term:
    """A named part of expressions. It stands for its text wherever it is used."""

    name: str
    label: str
    when: Expression


@dataclass(frozen=True, kw_only=True, slots=True)
class Output:
    """Something a rule drives.

    `series` names an output that must also be on for energy to flow, `second_means` says how a
    person takes the energy away. `needs` names the kind of channel; lamps and buzzers that the
    control head carries need none.
    """

    name: str
    label: str
    internal: bool = False
    alarm: bool = False
    series: str = ""
    second_means: str = ""
    load_ma: int = 0
    peak_ma: int = 0
    needs: str = ""
    guide: str = ""
    caution: str = ""


class Action(StrEnum):
    TURN_ON = "on"
    TURN_OFF = "off"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rule:
    """Drives one output.

    `when` true for `on_delay_s` makes the rule active; it stays so for `off_delay_s` after. With a
    `reset` the rule latches until the reset is true, and the reset wins; `toggle` lets a second
    press release it. Where several rules drive one output the active one of highest priority wins.
    """

    name: str
    output: str
    when: Expression
    action: Action = Action.TURN_ON
    priority: int = 0
    on_delay_s: float = 0
    off_delay_s: float = 0
    reset: Expression | None = None
    toggle: bool = False
    unsafe: tuple[Substitution, ...] = ()
    why: str = ""

    @property
    def latches(self) -> bool:
        return self.reset is not None


@dataclass(frozen=True, kw_only=True, slots=True)
class Pattern:
    """What a head shows when it is the first of its list whose condition is true.

    One that alternates lights its colours one after the other, never together.
    """

    name: str
    when: Expression
    colours: tuple[str, ...] = ()
    flash: str = "steady"
    alternates: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Head:
    """A multi-colour lamp head. The order of its patterns is their priority, highest first."""

    name: str
    label: str
    zone: str
    colours: tuple[str, ...]
    patterns: tuple[Pattern, ...]
    max_colours_lit: int = 1
    load_ma: int = 0
    peak_ma: int = 0
    unsafe: tuple[Substitution, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ZoneColours:
    """The colours that the legal profile allows in one zone."""

    zone: str
    colours: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Assumption:
    """Something physics or the signal's maker guarantees; only states where it holds count."""

    name: str
    holds: Expression
    reason: str


class InterlockKind(StrEnum):
    NEVER_UNLESS = "never_unless"
    ALWAYS_WHEN = "always_when"
    NEVER_TOGETHER = "never_together"
    EXACTLY_ONE = "exactly_one"
    COLOUR_WITHIN_PROFILE = "colour_within_profile"
    LATCH_RELEASABLE = "latch_releasable"
    OUTPUT_REACHABLE = "output_reachable"


@dataclass(frozen=True, kw_only=True, slots=True)
class Interlock:
    """A property of the vehicle. Signals in it mean what is true, not what an input reads.

    `allow_s` grants delays up to so many seconds: the property is judged after they have run out.
    """

    name: str
    label: str
    kind: InterlockKind
    subjects: tuple[Expression, ...] = ()
    condition: Expression | None = None
    allow_s: float = 0
    safety: bool = True
    why: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Channel:
    name: str
    limit_ma: int
    kind: str = "switched"
    peak_limit_ma: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Node:
    """A module with output channels and input pins."""

    name: str
    label: str
    channels: tuple[Channel, ...] = ()
    inputs: tuple[str, ...] = ()
    limit_ma: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Wire:
    """An output on a channel or a signal on an input pin: `place` is “N1.4”."""

    name: str
    place: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Logic:
    """One version of a job's control logic."""

    version: str
    title: str = ""
    signals: tuple[Signal, ...] = ()
    terms: tuple[Term, ...] = ()
    outputs: tuple[Output, ...] = ()
    rules: tuple[Rule, ...] = ()
    heads: tuple[Head, ...] = ()
    profile: tuple[ZoneColours, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    interlocks: tuple[Interlock, ...] = ()
    nodes: tuple[Node, ...] = ()
    wires: tuple[Wire, ...] = ()
