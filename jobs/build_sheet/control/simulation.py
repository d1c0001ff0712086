"""What the simulator shows: one situation played on the logic, and what changed by it."""

from dataclasses import dataclass

from jobs.build_sheet.control.address import Asked, Situation, resting, write_setting
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Action, Logic
from jobs.controls.moments import Outcome
from jobs.controls.results import Setting
from jobs.controls.signals import Signal
from jobs.controls.words import Words, capital


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """One value that a signal can be given; `set` is what the address then says."""

    set: str
    words: str
    is_now: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SignalRow:
    name: str
    label: str
    now: str
    choices: tuple[Choice, ...]
    is_away: bool
    has_changed: bool
    caution: str


@dataclass(frozen=True, kw_only=True, slots=True)
class OutputRow:
    """`held` is said of an output that is asked for and gets no energy because of another."""

    name: str
    label: str
    is_on: bool
    has_changed: bool
    is_alarm: bool = False
    is_internal: bool = False
    held: str = ""
    guide: str = ""

    @property
    def word(self) -> str:
        return "On" if self.is_on else ("Held off" if self.held else "Off")


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadRow:
    name: str
    label: str
    zone: str
    pattern: str
    colours: tuple[str, ...]
    flash: str
    has_changed: bool

    @property
    def shows(self) -> str:
        """“red and amber, slow”, or “dark”."""
        if not self.colours:
            return "dark"
        return f"{' + '.join(self.colours)}, {self.flash}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Broken:
    name: str
    label: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """One situation with all that follows from it."""

    after: Situation
    seconds: float
    sources: tuple[tuple[str, tuple[SignalRow, ...]], ...]
    outputs: tuple[OutputRow, ...]
    heads: tuple[HeadRow, ...]
    broken: tuple[Broken, ...]
    waiting: tuple[str, ...]
    says: str
    alarms: tuple[OutputRow, ...] = ()

    @property
    def passed(self) -> str:
        return f"{self.seconds:g} s"


def play(logic: Logic, asked: Asked) -> Shown:
    """The change is set, the seconds pass, and what then stands is shown."""
    machine = Machine(logic)
    before = asked.before
    start = before.state or machine.start()
    settings = dict(before.settings)
    if asked.change is not None:
        settings[asked.change.signal] = asked.change
    outcome = machine.step(start, settings.values(), asked.seconds)
    earlier = None
    if before.state is not None and (asked.change is not None or asked.seconds):
        earlier = machine.step(start, before.settings.values())
    return shown(logic, before.settings, settings, earlier, outcome, asked.seconds)


def shown(
    logic: Logic,
    settings_before: dict[str, Setting],
    settings: dict[str, Setting],
    earlier: Outcome | None,
    outcome: Outcome,
    seconds: float = 0,
) -> Shown:
    outputs = _outputs(logic, earlier, outcome)
    heads = _heads(logic, earlier, outcome)
    return Shown(
        after=Situation(settings=settings, state=outcome.state),
        seconds=seconds,
        sources=_sources(logic, settings_before, settings),
        outputs=tuple(each for each in outputs if not each.is_alarm),
        alarms=tuple(each for each in outputs if each.is_alarm),
        heads=heads,
        broken=tuple(
            Broken(name=each.name, label=each.label or each.name, why=each.why)
            for each in logic.interlocks
            if each.name in outcome.broken
        ),
        waiting=tuple(_waiting(logic, outcome)),
        says=_says(outputs, heads, known=earlier is not None),
    )


def _sources(
    logic: Logic, before: dict[str, Setting], now: dict[str, Setting]
) -> tuple[tuple[str, tuple[SignalRow, ...]], ...]:
    """The signals by where they come from, in the order of the logic."""
    words, rest = Words(logic), resting(logic)
    groups: dict[str, list[SignalRow]] = {}
    for signal in logic.signals:
        setting = now[signal.name]
        row = SignalRow(
            name=signal.name,
            label=capital(signal.label),
            now=words.setting(setting),
            choices=tuple(_choices(signal, setting)),
            is_away=setting != rest[signal.name],
            has_changed=setting != before[signal.name],
            caution=signal.caution,
        )
        groups.setdefault(signal.source or "Source not entered", []).append(row)
    return tuple((source, tuple(rows)) for source, rows in groups.items())


def _choices(signal: Signal, setting: Setting) -> list[Choice]:
    found = []
    for index in range(signal.size):
        value = Setting(signal=signal.name, value=signal.example(index))
        is_now = setting.known and signal.index(setting.value) == index
        found.append(Choice(set=write_setting(value), words=signal.words(index), is_now=is_now))
    if signal.may_be_unknown:
        hidden = Setting(signal=signal.name, value=setting.value, known=False)
        found.append(Choice(set=write_setting(hidden), words="unknown", is_now=not setting.known))
    return found


def _outputs(logic: Logic, earlier: Outcome | None, outcome: Outcome) -> list[OutputRow]:
    labels = {each.name: each.label for each in logic.outputs}
    return [
        OutputRow(
            name=each.name,
            label=capital(each.label),
            is_on=each.name in outcome.energised,
            has_changed=earlier is not None
            and (each.name in earlier.energised) != (each.name in outcome.energised),
            is_alarm=each.alarm,
            is_internal=each.internal,
            held=labels[each.series]
            if each.name in outcome.commanded and each.name not in outcome.energised
            else "",
            guide=each.guide,
        )
        for each in logic.outputs
    ]


def _heads(logic: Logic, earlier: Outcome | None, outcome: Outcome) -> tuple[HeadRow, ...]:
    now = {each.head: each.pattern for each in outcome.heads}
    was = {each.head: each.pattern for each in earlier.heads} if earlier else now
    found = []
    for head in logic.heads:
        pattern = next((each for each in head.patterns if each.name == now[head.name]), None)
        found.append(
            HeadRow(
                name=head.name,
                label=capital(head.label),
                zone=head.zone,
                pattern=pattern.name if pattern else "",
                colours=pattern.colours if pattern else (),
                flash=pattern.flash if pattern else "",
                has_changed=was[head.name] != now[head.name],
            )
        )
    return tuple(found)


def _waiting(logic: Logic, outcome: Outcome) -> list[str]:
    """“Mast alarm lamp: rule R22 turns on in 0.5 s.”, for each delay that runs."""
    rules = {rule.name: rule for rule in logic.rules}
    labels = {each.name: each.label for each in logic.outputs}
    found = []
    for timer in outcome.state.timers:
        rule = rules[timer.rule]
        ends = timer.rule in outcome.state.delayed
        left = (rule.off_delay_s if ends else rule.on_delay_s) - timer.seconds
        what = "ends" if ends else "begins"
        if rule.action is Action.TURN_OFF:
            what += " to hold it off" if what == "begins" else " holding it off"
        found.append(f"{capital(labels[rule.output])}: rule {rule.name} {what} in {left:g} s.")
    return found


def _says(outputs: list[OutputRow], heads: tuple[HeadRow, ...], *, known: bool) -> str:
    """One sentence about what changed, for who cannot see the marks."""
    if not known:
        return "Power-up, or an address opened directly: nothing to compare with."
    changes = [
        f"{each.label} {each.word.lower()}"
        for each in outputs
        if each.has_changed and not each.is_internal
    ]
    changes += [f"{each.label} {each.shows}" for each in heads if each.has_changed]
    return f"Changed: {'; '.join(changes)}." if changes else "No output changed."
