"""Both versions of the demo's logic, and the published headlamp flasher, end to end."""

from functools import cache
from itertools import product

import pytest

from jobs.controls.codec import from_json
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Interlock
from jobs.controls.proofs import prove_all
from jobs.controls.proofs import test_steps as steps_of
from jobs.controls.results import Proved, Refuted, Result, Setting
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_logic


@cache
def demo_results(version: str) -> dict[str, tuple[Interlock, Result]]:
    return {line.name: (line, result) for line, result in prove_all(demo_logic(version))}


def test_the_single_contact_mast_sensor_is_refuted_with_a_readable_counterexample() -> None:
    results = demo_results("1.2")
    refuted = {name for name, (_, result) in results.items() if not isinstance(result, Proved)}
    assert refuted == {"I1", "I2"}
    mast, alarm = (results[name][1] for name in ("I1", "I2"))
    assert isinstance(mast, Refuted)
    assert "mast stowed contact is unknown" in mast.counterexample.sentence
    assert "Mast up is on, which is allowed only while parked" in mast.counterexample.sentence
    assert isinstance(alarm, Refuted)
    assert alarm.counterexample.sentence == (
        "Ignition is acc, park brake is released and mast stowed contact is unknown "
        "(in truth open (mast raised)). Mast alarm lamp is off, which is wrong while "
        "mast stowed contact is open (mast raised), not parked and ignition is acc or more."
    )


def test_the_two_channel_mast_sensor_is_proved() -> None:
    assert all(isinstance(result, Proved) for _, result in demo_results("1.3").values())


def test_every_latch_and_every_output_of_the_demo_has_its_own_line() -> None:
    logic = demo_logic("1.3")
    names = set(demo_results("1.3"))
    latches = {f"I11.{rule.name}" for rule in logic.rules if rule.latches}
    outputs = {f"I11b.{output.name}" for output in logic.outputs if not output.internal}
    assert latches | outputs <= names
    assert len(latches) == 12


@pytest.mark.parametrize("version", ["1.2", "1.3"])
def test_counterexamples_of_the_demo_play_on_the_machine(version: str) -> None:
    logic = demo_logic(version)
    machine = Machine(logic)
    for interlock, result in demo_results(version).values():
        if not isinstance(result, Refuted):
            continue
        state = machine.start()
        for moment in result.counterexample.moments:
            seconds = max((_delay(logic, name) for name in moment.waited), default=0.0)
            outcome = machine.step(state, moment.settings, seconds)
            state = outcome.state
        assert interlock.name in outcome.broken


def _delay(logic: object, name: str) -> float:
    return next(rule.on_delay_s for rule in demo_logic("1.2").rules if rule.name == name)


# WAC 204-21-130(2): the dimmer on high beam stops the flashing and gives full light, a failed
# flasher leaves the headlamps normal, a telltale shows that the system is on. That the telltale
# stays lit while overridden is a reading of "system on".
FLASHER = {
    "version": "1",
    "signals": [
        {"name": "S", "label": "flasher switch"},
        {"name": "H", "label": "dimmer"},
        {"name": "F", "label": "flasher failed"},
    ],
    "outputs": [
        {"name": "FLASH", "label": "alternate flash"},
        {"name": "HIGH", "label": "steady high beam"},
        {"name": "TELLTALE", "label": "telltale"},
    ],
    "rules": [
        {"name": "flash", "output": "FLASH", "when": "S AND NOT H AND NOT F"},
        {"name": "high", "output": "HIGH", "when": "H"},
        {"name": "telltale", "output": "TELLTALE", "when": "S"},
    ],
    "interlocks": [
        {
            "name": "normal",
            "label": "A failed flasher leaves the headlamps normal",
            "kind": "never_unless",
            "subjects": ["FLASH"],
            "condition": "NOT F",
        },
        {
            "name": "full",
            "label": "High beam stops the flashing and gives full light",
            "kind": "always_when",
            "subjects": ["HIGH AND NOT FLASH"],
            "condition": "H",
        },
        {
            "name": "one",
            "label": "Never flash and steady together",
            "kind": "never_together",
            "subjects": ["FLASH", "HIGH"],
        },
    ],
}
TABLE = {
    (0, 0, 0): (0, 0, 0),
    (0, 0, 1): (0, 0, 0),
    (0, 1, 0): (0, 1, 0),
    (0, 1, 1): (0, 1, 0),
    (1, 0, 0): (1, 0, 1),
    (1, 1, 0): (0, 1, 1),
    (1, 0, 1): (0, 0, 1),
    (1, 1, 1): (0, 1, 1),
}


def test_the_headlamp_flasher_follows_the_published_table() -> None:
    machine = Machine(from_json(FLASHER))
    for values in product((0, 1), repeat=3):
        settings = [
            Setting(signal=name, value=("off", "on")[value])
            for name, value in zip("SHF", values, strict=True)
        ]
        on = machine.step(machine.start(), settings).energised
        names = ("FLASH", "HIGH", "TELLTALE")
        assert tuple(int(name in on) for name in names) == TABLE[values]


def test_the_headlamp_flasher_is_proved_over_all_its_states() -> None:
    results = prove_all(from_json(FLASHER))
    assert [result.how for _, result in results if isinstance(result, Proved)] == [
        "every state"
    ] * 3


def test_steps_come_in_order_of_the_tour() -> None:
    steps = steps_of(small_logic())
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert all(step.instruction and step.expected for step in steps)
