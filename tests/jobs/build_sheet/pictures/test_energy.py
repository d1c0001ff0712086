from hypothesis import given
from hypothesis import strategies as st

from jobs.build_sheet.pictures.energy import ModeBar, energy
from tests.drawings import LONG, clashes, outside

AMPS = st.tuples(*[st.floats(0, 400)] * 4)


def bar(*amps, limit=190.0, name="Respond", state="pass"):
    wanted = None if limit is None else limit * 0.9
    return ModeBar(
        name=name, source="engine at hot idle", amps=amps, limit_a=limit, wanted_a=wanted,
        state=state,
    )  # fmt: skip


def test_energy_bars_are_as_long_as_their_current():
    drawn = energy([bar(50, 0, 100, 0), bar(50, 0, 50, 0)])
    parts = [box for box in drawn.boxes if box.look.startswith("part") and box.height == 30]
    assert [round(box.width / parts[0].width, 6) for box in parts] == [1, 2, 1, 1]


def test_energy_names_the_modes_over_their_supply():
    drawn = energy([bar(50, 3, 160, 0, name="Scene", state="fail"), bar(50, 3, 60, 0)])
    assert "Over the hot output: Scene." in drawn.words
    assert "None is over its hot output." in energy([bar(1, 1, 1, 1)]).words


def test_energy_of_a_mode_on_the_battery_has_no_line():
    drawn = energy([bar(0, 0, 17, 0, limit=None)])
    assert [line for line in drawn.lines if line.look == "gate" and line.points[0][1] > 60] == []


def test_energy_without_modes_or_current_does_not_fail():
    assert energy([]) is None
    assert energy([bar(0, 0, 0, 0, limit=None)]) is not None


@given(st.lists(AMPS, min_size=1, max_size=12), st.none() | st.floats(1, 500))
def test_energy_never_writes_over_itself(rows, limit):
    drawn = energy([bar(*amps, limit=limit, name=LONG, state="undetermined") for amps in rows])
    assert clashes(drawn) == []
    assert outside(drawn) == []
