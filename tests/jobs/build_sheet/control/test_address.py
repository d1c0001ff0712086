import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.build_sheet.control.address import AddressError, Situation, read, resting, written
from jobs.controls.codec import from_json
from jobs.controls.evaluate import Machine
from jobs.controls.results import Setting
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data
from tests.jobs.controls.strategies import all_settings, logics

LOGIC = from_json(small_data())


def test_an_empty_address_is_power_up_with_everything_at_rest():
    asked = read(LOGIC, {})
    assert asked.before == Situation(settings=resting(LOGIC))
    assert asked.change is None and asked.seconds == 0


@given(logics(delays=True), st.data())
def test_a_situation_reads_back_as_it_was_written(logic, data):
    machine = Machine(logic)
    state = machine.start()
    for settings in data.draw(st.lists(st.sampled_from(all_settings(logic)), min_size=1)):
        state = machine.step(state, settings, data.draw(st.sampled_from([0, 1.5, 3]))).state
    situation = Situation(settings={each.signal: each for each in settings}, state=state)
    back = read(logic, written(logic, situation)).before
    assert back.settings == situation.settings
    assert set(back.state.seen) == set(state.seen)
    assert (back.state.latched, back.state.delayed) == (state.latched, state.delayed)
    assert sorted(back.state.timers, key=str) == sorted(state.timers, key=str)


def test_an_unknown_signal_keeps_what_is_true():
    logic = demo_logic("1.3")
    asked = read(logic, {"at": "PB:off~"})
    assert asked.before.settings["PB"] == Setting(signal="PB", value="off", known=False)


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"at": "NOPE:on"}, "no signal"),
        ({"at": "GEAR"}, "no signal"),
        ({"at": "GEAR:X"}, "gear cannot be"),
        ({"at": "UP:on~"}, "never unknown"),
        ({"set": "SPD:fast"}, "speed cannot be"),
        ({"let": "soon"}, "no number"),
        ({"let": "-1"}, "not between"),
        ({"let": "1e9"}, "not between"),
        ({"let": "nan"}, "not between"),
        ({"let": "inf"}, "not between"),
        ({"was": "x"}, "was changed after"),
        ({"was": ";;;;"}, "was changed after"),
        ({"at": "UP:on," * 2_000}, "longer than"),
    ],
)
def test_an_address_that_does_not_fit_gives_a_sentence(query, words):
    with pytest.raises(AddressError, match=words):
        read(LOGIC, query)


@pytest.mark.parametrize(
    "rest", [";;;;", "0;;;;", "2;;;", ";99;;", ";-1;;", ";0;;", ";;0;", ";;;0:x", ";;;²:1"]
)
def test_a_memory_that_does_not_fit_gives_a_sentence(rest):
    digest = written(LOGIC, Situation(settings=resting(LOGIC), state=Machine(LOGIC).start()))["was"]
    with pytest.raises(AddressError):
        read(LOGIC, {"was": f"{digest[:8]};{rest}"})


@given(st.text(max_size=60), st.sampled_from(["at", "was", "set", "let"]))
def test_any_text_in_an_address_is_read_or_refused(text, key):
    try:
        read(LOGIC, {key: text})
    except AddressError as error:
        assert str(error).endswith(".")
