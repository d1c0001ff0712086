"""Facts of the trade, shown on the usual rules. Common practice, no source."""

from jobs.controls.logic import Logic
from jobs.controls.proofs import prove_all
from jobs.controls.results import Proved
from jobs.controls.templates.apply import apply
from jobs.controls.templates.catalogue import TEMPLATES
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.test_evaluate import Bench, on

PARKED = {"GEAR": "P", "PB": "on", "SPD": "0"}
DRIVING = {"GEAR": "D", "PB": "off", "SPD": "7"}


def logic_of(*keys: str) -> Logic:
    logic = Logic(version="1")
    for key in keys:
        logic = apply(logic, TEMPLATES[key])
    return logic


def bench(*keys: str) -> Bench:
    return Bench(logic_of(*keys))


def test_all_thirty_seven_usual_rules_are_there() -> None:
    assert list(TEMPLATES) == [f"R{number:02}" for number in range(1, 38)]


def test_all_templates_together_hold_all_their_interlocks() -> None:
    results = prove_all(logic_of(*TEMPLATES))
    assert len(results) > 8
    assert all(isinstance(result, Proved) for _, result in results)


def test_siren_tones_are_locked_out_in_park_and_do_not_restart_on_leaving_it() -> None:
    vehicle = bench("R05", "R06")
    vehicle.set(**DRIVING, IGN="run", SL="3", B_WAIL="off")
    assert "WAIL" in on(vehicle.set(B_WAIL="on"))
    assert "WAIL" not in on(vehicle.set(GEAR="P"))
    assert "WAIL" not in on(vehicle.set(GEAR="D"))
    vehicle.set(B_WAIL="off")
    assert "WAIL" in on(vehicle.set(B_WAIL="on"))


def test_a_press_in_park_is_no_press_later() -> None:
    vehicle = bench("R05", "R06")
    vehicle.set(GEAR="P", IGN="run", SL="3", B_YELP="off")
    assert on(vehicle.set(B_YELP="on")) == set()
    assert "YELP" not in on(vehicle.set(GEAR="D"))


def test_an_unknown_gear_keeps_the_siren_silent_and_the_mast_down() -> None:
    vehicle = bench("R05", "R06", "R19")
    vehicle.set(**DRIVING, IGN="run", SL="3", B_WAIL="off")
    vehicle.set(B_WAIL="on")
    assert "WAIL" not in on(vehicle.set(GEAR="unknown"))
    assert "UP_ENABLE" not in on(vehicle.set(PB="on", SPD="0", STA="on"))


def test_the_headlight_flasher_is_off_in_park_and_at_night() -> None:
    vehicle = bench("R04")
    assert on(vehicle.set(**DRIVING, SL="3", ENG="on")) == {"HEAD_FLASH"}
    assert on(vehicle.set(**PARKED)) == set()
    assert on(vehicle.set(**DRIVING)) == {"HEAD_FLASH"}
    assert on(vehicle.set(DARK="on")) == set()
    assert on(vehicle.set(DARK="off", SPD="unknown")) == set()


def ready_mast() -> Bench:
    """Parked, engine on, overhead acknowledged by a first press."""
    vehicle = bench("R19", "R20", "R22")
    vehicle.set(1, **PARKED, ENG="on", VA="13", STA="off", STB="on", IGN="run", B_UP="off")
    vehicle.set(1, B_UP="on")
    vehicle.set(1, B_UP="off")
    return vehicle


def test_the_mast_goes_up_only_with_park_and_park_brake() -> None:
    vehicle = ready_mast()
    assert "MAST_UP" in on(vehicle.set(1, B_UP="on"))
    assert "MAST_UP" not in on(vehicle.set(PB="off"))
    for missing in ({"GEAR": "N"}, {"PB": "off"}, {"SPD": "2"}):
        vehicle = ready_mast()
        vehicle.set(**missing)
        assert "MAST_UP" not in on(vehicle.set(2, B_UP="on"))


def test_the_first_press_only_acknowledges_and_expires() -> None:
    vehicle = bench("R19")
    vehicle.set(1, **PARKED, ENG="on", VA="13", STA="on", B_UP="off")
    assert "MAST_UP" not in on(vehicle.set(5, B_UP="on"))
    vehicle.set(11, B_UP="off")
    assert "MAST_UP" not in on(vehicle.set(2, B_UP="on"))


def test_the_mast_comes_down_in_every_state_and_never_with_up() -> None:
    vehicle = ready_mast()
    vehicle.set(1, B_UP="on")
    assert not {"MAST_UP", "MAST_DOWN"} <= on(vehicle.set(B_DN="on"))
    assert "MAST_DOWN" in on(vehicle.set(1))
    assert "MAST_DOWN" in on(vehicle.set(1, **DRIVING, VA="0", STA="unknown"))


def test_a_raised_mast_is_indicated_and_alarms_when_not_parked() -> None:
    vehicle = bench("R22")
    assert on(vehicle.set(**PARKED, IGN="run", STA="on", STB="off")) == set()
    assert on(vehicle.set(STA="off", STB="on")) == {"MAST_RAISED"}
    assert on(vehicle.set(**DRIVING)) == {"MAST_RAISED", "MAST_LAMP", "MAST_BUZZER"}


def test_the_mast_buzzer_can_be_muted_at_standstill_only_and_the_lamp_never() -> None:
    vehicle = bench("R22")
    vehicle.set(GEAR="D", PB="off", SPD="0", IGN="run", STA="off", STB="on", B_MUTE="off")
    assert on(vehicle.set(29, B_MUTE="on")) == {"MAST_RAISED", "MAST_LAMP", "MAST_MUTED"}
    assert "MAST_BUZZER" in on(vehicle.set(SPD="7"))
    assert "MAST_BUZZER" in on(vehicle.set(2, SPD="0"))


def test_mast_lights_stay_dark_while_the_mast_may_be_stowed() -> None:
    vehicle = bench("R23")
    assert on(vehicle.set(**PARKED, B_ML="on", STA="off", STB="on")) == {"MAST_HEADS"}
    assert on(vehicle.set(STA="unknown", STB="unknown")) == set()


def test_an_open_compartment_shows_always_and_sounds_only_when_driving() -> None:
    vehicle = bench("R24")
    assert on(vehicle.set(**PARKED, IGN="run", CMP_D="on")) == {"DOOR_LAMP"}
    assert on(vehicle.set(**DRIVING)) == {"DOOR_LAMP", "DO_NOT_MOVE"}
    assert on(vehicle.set(CMP_D="off", TRAY="on")) == {"DOOR_LAMP", "DO_NOT_MOVE"}
    assert on(vehicle.set(TRAY="off")) == set()


def test_each_compartment_light_burns_with_its_own_door_only() -> None:
    logic = Logic(version="1")
    for door, light in (("DOOR_1", "LIGHT_1"), ("DOOR_2", "LIGHT_2")):
        logic = apply(logic, TEMPLATES["R25"], {"door": door, "light": light, "after": "0"})
    vehicle = Bench(logic)
    vehicle.set(VB="13")
    assert on(vehicle.set(DOOR_1="on")) == {"LIGHT_1"}
    assert on(vehicle.set(DOOR_1="off", DOOR_2="on")) == {"LIGHT_2"}
    assert on(vehicle.set(VB="11")) == set()


def test_arrow_and_scene_override_the_warning_flash() -> None:
    vehicle = Bench(demo_logic("1.3"))
    shown = {each.head: each.pattern for each in vehicle.set(1, IGN="run", SL="2").heads}
    assert (shown["SIDE_L"], shown["REAR_UPPER"]) == ("blocking", "blocking")
    shown = {each.head: each.pattern for each in vehicle.set(B_SCL="on").heads}
    assert shown["SIDE_L"] == "scene white"
    assert shown["SIDE_R"] == "blocking"
    vehicle.set(B_AL="off")
    shown = {each.head: each.pattern for each in vehicle.set(B_AL="on").heads}
    assert (shown["ARROW_BAR"], shown["REAR_UPPER"]) == ("left", "off for arrow")


def test_the_last_arrow_pressed_wins_and_only_one_shows() -> None:
    vehicle = bench("R10")
    vehicle.set(**DRIVING)
    assert on(vehicle.set(B_AL="on")) == {"ARROW_L"}
    assert on(vehicle.set(B_AL="off", B_AR="on")) == {"ARROW_R"}
    assert on(vehicle.set(SPD="15")) == set()


def test_white_light_goes_out_on_the_move_and_does_not_come_back_by_itself() -> None:
    vehicle = bench("R15", "R17")
    assert on(vehicle.set(SPD="0", B_SCL="on")) == {"SCENE_L"}
    vehicle.set(3, SPD="12")
    assert on(vehicle.set(SPD="5")) == {"WHITE_CUT"}
    vehicle.set(B_SCL="off")
    assert on(vehicle.set(B_SCL="on")) == {"SCENE_L"}


def test_a_falling_battery_sheds_in_steps_and_returns_in_reverse() -> None:
    vehicle = bench("R30")
    shed = {"SHED_1", "SHED_2", "SHED_3"}
    assert on(vehicle.set(31, VB="12.2")) & shed == {"SHED_1"}
    assert on(vehicle.set(31, VB="11.7")) & shed == shed
    assert on(vehicle.set(61, VB="12.3")) & shed == {"SHED_1", "SHED_2"}
    assert on(vehicle.set(61, VB="12.5")) & shed == {"SHED_1"}
    assert on(vehicle.set(61, VB="12.8")) & shed == set()


def test_the_engine_does_not_start_on_the_shore_cord() -> None:
    vehicle = bench("R27")
    assert on(vehicle.set(GEAR="P", SHORE="on", START="on")) == {"SHORE_EJECT"}
    assert on(vehicle.set(SHORE="off")) == {"START_ALLOW"}


def test_master_off_ends_warning_and_scene_but_no_alarm() -> None:
    vehicle = bench("R02", "R15", "R22", "R36")
    vehicle.set(IGN="run", SL="2", B_SCL="on", GEAR="D", PB="off", SPD="7", STA="off", STB="on")
    after = on(vehicle.set(1, B_MOFF="on"))
    assert not after & {"WARN_ALL", "SCENE_L"}
    assert {"MAST_LAMP", "MAST_BUZZER"} <= after


def test_a_cabin_sensor_that_is_lost_alarms_like_a_hot_cabin() -> None:
    vehicle = bench("R37")
    assert on(vehicle.set(CABIN_T="70")) == set()
    assert on(vehicle.set(CABIN_T="85")) == {"HEAT_ALARM"}
    vehicle.set(CABIN_T="70")
    assert on(vehicle.set(CABIN_T="unknown")) == {"HEAT_ALARM"}


def test_high_idle_drops_at_once_on_the_brake() -> None:
    vehicle = bench("R31")
    assert "HIGH_IDLE" in on(vehicle.set(**PARKED, ENG="on", B_HI="on", VB="13"))
    assert "HIGH_IDLE" not in on(vehicle.set(BRK="on"))


def test_a_lock_opens_for_one_pulse_however_long_the_key_is_held() -> None:
    vehicle = bench("R33")
    vehicle.set(IGN="run", B_LK="off")
    assert on(vehicle.set(7, B_LK="on")) == {"SAFE_LOCK"}
    assert on(vehicle.set(30)) == set()
