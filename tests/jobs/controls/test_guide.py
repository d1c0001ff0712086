"""The crew's guide says what controls do, what alarms mean, and what is locked out and why."""

from jobs.controls.guide import guide
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_logic

GUIDE = guide(demo_logic("1.3"))
CONTROLS = {control.name: control for control in GUIDE.controls}


def test_every_control_says_what_it_does() -> None:
    assert len(CONTROLS) == 20
    assert all(control.works for control in GUIDE.controls)


def test_a_button_speaks_of_what_it_turns_on_through_internal_outputs() -> None:
    assert CONTROLS["B_UP"].works[0].startswith("Mast up: Look overhead, press once")
    assert CONTROLS["B_DN"].works == ("Mast down: Works in every state.",)
    assert CONTROLS["SL"].positions == ("0", "1", "2", "3")


def test_a_button_that_only_ends_something_says_so() -> None:
    assert CONTROLS["K_CUT"].works[0].startswith("Stops back-up alarm.")


def test_cautions_stand_with_the_control() -> None:
    assert any("10 ft from lines" in each for each in CONTROLS["B_UP"].cautions)


def test_every_alarm_says_what_to_do() -> None:
    alarms = {alarm.label: alarm for alarm in GUIDE.alarms}
    assert alarms["mast alarm lamp"].what_to_do.endswith("stop and lower the mast.")
    assert "not parked" in alarms["mast alarm lamp"].when
    assert all(alarm.what_to_do for alarm in GUIDE.alarms)


def test_lock_outs_say_what_and_why() -> None:
    found = guide(small_logic()).lock_outs
    assert (found[0].rule, found[0].why) == (
        "Mast up is off unless parked.",
        "Mast up only when parked",
    )
