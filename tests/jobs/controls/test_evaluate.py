"""The machine does what the rules say, second by second."""

from collections.abc import Iterable

from jobs.controls.evaluate import Machine
from jobs.controls.logic import Logic
from jobs.controls.moments import Outcome
from jobs.controls.results import Setting
from tests.jobs.controls.small import small_logic


class Bench:
    """A vehicle on the bench: settings stay until they are changed."""

    def __init__(self, logic: Logic) -> None:
        self.machine = Machine(logic)
        self.state = self.machine.start()
        self.settings: dict[str, Setting] = {}

    def set(self, seconds: float = 0, **values: str) -> Outcome:
        for name, value in values.items():
            known = value != "unknown"
            old = self.settings.get(name)
            text = value if known else (old.value if old else "off")
            self.settings[name] = Setting(signal=name, value=text, known=known)
        outcome = self.machine.step(self.state, self.settings.values(), seconds)
        self.state = outcome.state
        return outcome


def bench(rules: Iterable[dict[str, object]]) -> Bench:
    return Bench(small_logic(rules=list(rules), interlocks=[]))


def on(outcome: Outcome) -> set[str]:
    return set(outcome.energised)


def rule(when: str, output: str = "MAST", **more: object) -> dict[str, object]:
    return {"name": str(more.pop("name", output)), "output": output, "when": when, **more}


def test_a_rule_follows_its_expression() -> None:
    vehicle = bench([rule("UP AND PARKED")])
    assert on(vehicle.set(UP="on")) == {"MAST"}
    assert on(vehicle.set(PB="off")) == set()


def test_an_unknown_signal_counts_as_its_unsafe_value_in_each_rule() -> None:
    vehicle = bench(
        [
            rule("GEAR is P"),
            rule("GEAR is P", "SIREN", unsafe=[{"signal": "GEAR", "value": "P"}]),
        ]
    )
    assert on(vehicle.set(GEAR="P")) == {"MAST", "SIREN"}
    vehicle.settings["GEAR"] = Setting(signal="GEAR", value="P", known=False)
    assert on(vehicle.set()) == {"SIREN"}


def test_a_delay_before_coming_on_starts_anew_after_a_break() -> None:
    vehicle = bench([rule("UP", on_delay_s=2)])
    assert on(vehicle.set(1.9, UP="on")) == set()
    vehicle.set(0.1, UP="off")
    assert on(vehicle.set(1.9, UP="on")) == set()
    assert on(vehicle.set(0.1)) == {"MAST"}
    assert on(vehicle.set(UP="off")) == set()


def test_a_delay_before_going_off_holds() -> None:
    vehicle = bench([rule("UP", off_delay_s=10)])
    assert on(vehicle.set(5, UP="on")) == {"MAST"}
    assert on(vehicle.set(9.9, UP="off")) == {"MAST"}
    assert on(vehicle.set(0.1)) == set()


def test_a_press_gives_one_pulse_however_long_it_is_held() -> None:
    vehicle = bench([rule("UP pressed", off_delay_s=8)])
    vehicle.set(UP="off")
    assert on(vehicle.set(7.9, UP="on")) == {"MAST"}
    assert on(vehicle.set(0.2)) == set()
    assert on(vehicle.set(60)) == set()


def test_a_button_held_at_power_up_counts_only_after_it_was_let_go() -> None:
    vehicle = bench([rule("UP pressed", reset="TONE")])
    assert on(vehicle.set(UP="on")) == set()
    vehicle.set(UP="off")
    assert on(vehicle.set(UP="on")) == {"MAST"}


def test_a_latch_holds_until_its_reset_and_the_reset_wins() -> None:
    vehicle = bench([rule("UP", reset="TONE")])
    assert on(vehicle.set(UP="on")) == {"MAST"}
    assert on(vehicle.set(UP="off")) == {"MAST"}
    assert on(vehicle.set(UP="on", TONE="on")) == set()
    assert on(vehicle.set(TONE="off", UP="off")) == set()


def test_a_toggling_latch_turns_over_at_each_press() -> None:
    vehicle = bench([rule("UP pressed", reset="TONE", toggle=True)])
    seen = [on(vehicle.set(UP=value)) for value in ("off", "on", "off", "on", "off", "on")]
    assert [bool(each) for each in seen] == [False, True, True, False, False, True]


def test_the_active_rule_of_highest_priority_decides() -> None:
    vehicle = bench(
        [
            rule("UP", name="low"),
            rule("TONE", name="cut", action="off", priority=5),
            rule("GEAR is R", name="high", priority=9),
        ]
    )
    assert on(vehicle.set(UP="on")) == {"MAST"}
    assert on(vehicle.set(TONE="on")) == set()
    assert on(vehicle.set(GEAR="R")) == {"MAST"}


def test_an_output_in_series_takes_the_energy_away() -> None:
    outputs = [
        {"name": "MAST", "label": "mast up", "series": "SIREN"},
        {"name": "SIREN", "label": "relay"},
    ]
    logic = small_logic(outputs=outputs, rules=[rule("UP"), rule("PARKED", "SIREN")], interlocks=[])
    vehicle = Bench(logic)
    assert on(vehicle.set(UP="on")) == {"MAST", "SIREN"}
    outcome = vehicle.set(PB="off")
    assert on(outcome) == set()
    assert set(outcome.commanded) == {"MAST"}


def test_chained_delays_run_out_one_after_the_other() -> None:
    vehicle = bench([rule("UP", on_delay_s=2), rule("MAST", "SIREN", on_delay_s=3)])
    assert on(vehicle.set(4.9, UP="on")) == {"MAST"}
    assert on(vehicle.set(0.1)) == {"MAST", "SIREN"}


def test_a_measured_value_is_cut_at_its_thresholds() -> None:
    vehicle = bench([rule("SPD at least scene"), rule("SPD below 1", "SIREN")])
    assert on(vehicle.set(SPD="0.9")) == {"SIREN"}
    assert on(vehicle.set(SPD="1")) == set()
    assert on(vehicle.set(SPD="9.9")) == set()
    assert on(vehicle.set(SPD="10")) == {"MAST"}


def test_a_head_shows_the_first_pattern_of_its_list_that_is_asked_for() -> None:
    head = {
        "name": "H",
        "label": "head",
        "zone": "rear",
        "colours": ["red", "amber"],
        "patterns": [
            {"name": "arrow", "when": "TONE", "colours": ["amber"]},
            {"name": "warning", "when": "UP", "colours": ["red"]},
        ],
    }
    vehicle = Bench(small_logic(heads=[head]))
    assert vehicle.set(UP="on").heads[0].pattern == "warning"
    assert vehicle.set(TONE="on").heads[0].pattern == "arrow"
    assert vehicle.set(TONE="off", UP="off").heads[0].pattern == ""


def test_broken_interlocks_are_named() -> None:
    vehicle = Bench(small_logic(rules=[rule("UP")]))
    assert vehicle.set().broken == ()
    assert vehicle.set(UP="on", PB="off").broken == ("I1",)
    assert vehicle.set(STOWED="off").broken == ("I1", "I2")
