"""Inputs of the control logic: two-state, positions, or measured values cut at thresholds."""

from dataclasses import dataclass
from enum import StrEnum

OFF, ON, UNKNOWN = "off", "on", "unknown"


class SignalKind(StrEnum):
    TWO_STATE = "two_state"
    POSITION = "position"
    MEASURED = "measured"


class Wiring(StrEnum):
    """How the value arrives. A contact that is normally closed is closed at rest."""

    NORMALLY_OPEN = "normally_open"
    NORMALLY_CLOSED = "normally_closed"
    BUS = "bus"


@dataclass(frozen=True, kw_only=True, slots=True)
class Threshold:
    """A value at which something changes; the name is optional and may stand in expressions."""

    value: float
    name: str = ""

    @property
    def operand(self) -> str:
        return self.name or f"{self.value:g}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Signal:
    """One input. Values are written as text: off/on, a position, or a number.

    `de_energised` is what the input reads with its wire cut. A `monitored` wire is noticed when it
    is cut and then reads unknown. `unsafe` is what an unknown value counts as in rules that do not
    say otherwise. `rest` is the value on a parked, untouched vehicle.
    """

    name: str
    label: str
    kind: SignalKind = SignalKind.TWO_STATE
    source: str = ""
    wiring: Wiring = Wiring.NORMALLY_OPEN
    positions: tuple[str, ...] = ()
    thresholds: tuple[Threshold, ...] = ()
    unit: str = ""
    de_energised: str = ""
    monitored: bool = False
    may_be_unknown: bool = False
    unsafe: str = ""
    rest: str = ""
    on_words: str = "on"
    off_words: str = "off"
    caution: str = ""

    @property
    def size(self) -> int:
        """How many values it can take, unknown not counted."""
        match self.kind:
            case SignalKind.TWO_STATE:
                return 2
            case SignalKind.POSITION:
                return len(self.positions)
            case SignalKind.MEASURED:
                return len(self.thresholds) + 1

    def index(self, value: str) -> int:
        """The number of a value. Raises ValueError with a sentence when there is no such value."""
        if self.kind is SignalKind.MEASURED:
            return self._band(value)
        choices = (OFF, ON) if self.kind is SignalKind.TWO_STATE else self.positions
        if value not in choices:
            raise ValueError(f"{self.name} cannot be “{value}”; it is one of {', '.join(choices)}.")
        return choices.index(value)

    @property
    def rest_index(self) -> int:
        return self.index(self.rest) if self.rest else 0

    @property
    def open_index(self) -> int:
        """What it reads with its wire cut."""
        return self.index(self.de_energised) if self.de_energised else 0

    def _band(self, value: str) -> int:
        try:
            number = float(value)
        except ValueError:
            raise ValueError(f"{self.name} needs a number, not “{value}”.") from None
        return sum(threshold.value <= number for threshold in self.thresholds)

    def example(self, index: int) -> str:
        """A value, written as text, that has this number."""
        match self.kind:
            case SignalKind.TWO_STATE:
                return (OFF, ON)[index]
            case SignalKind.POSITION:
                return self.positions[index]
            case SignalKind.MEASURED:
                return self._example_of_band(index)

    def _example_of_band(self, index: int) -> str:
        if index == 0:
            first = self.thresholds[0].value
            return f"{0 if first > 0 else first - 1:g}"
        return f"{self.thresholds[index - 1].value:g}"

    def words(self, index: int) -> str:
        """The value as people say it: “set”, “P”, “10 to 15 mph”."""
        if self.kind is SignalKind.TWO_STATE:
            return (self.off_words, self.on_words)[index]
        if self.kind is SignalKind.POSITION:
            return self.positions[index]
        values = [f"{threshold.value:g}" for threshold in self.thresholds]
        unit = f" {self.unit}" if self.unit else ""
        if index == 0:
            return f"below {values[0]}{unit}"
        if index == len(values):
            return f"{values[-1]}{unit} or more"
        return f"{values[index - 1]} to {values[index]}{unit}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Substitution:
    """What an unknown signal counts as in one rule."""

    signal: str
    value: str
