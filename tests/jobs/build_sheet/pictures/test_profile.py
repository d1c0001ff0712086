from hypothesis import given
from hypothesis import strategies as st

from jobs.build_sheet.pictures.profile import Level, profile
from tests.drawings import clashes, outside


def levels(*volts):
    names = ("Supply", "Feed device", "Panel", "Circuit device", "Load")
    return [Level(name=name, volts=value) for name, value in zip(names, volts, strict=False)]


def test_profile_falls_from_the_supply_to_the_load():
    drawn = profile(key="p", title="T", levels=levels(13.2, 13.2, 12.9, 12.9, 12.6), least_v=11.9)
    heights = [dot.y for dot in drawn.dots]
    assert heights == sorted(heights)
    assert "13.20 V at the supply to 12.60 V at the load, 0.60 V lost" in drawn.words
    assert "Least at the load: 11.90 V" in [text.words for text in drawn.texts]


def test_profile_of_one_point_is_no_picture():
    assert profile(key="p", title="T", levels=levels(13.2), least_v=None) is None


@given(
    drops=st.lists(st.floats(0, 20), min_size=1, max_size=4),
    allowed=st.none() | st.floats(0, 5),
)
def test_profile_never_writes_over_itself(drops, allowed):
    volts = [14.4]
    for drop in drops:
        volts.append(volts[-1] - drop)
    least = None if allowed is None else 14.4 - allowed
    drawn = profile(key="p", title="T", levels=levels(*volts), least_v=least)
    assert clashes(drawn) == []
    assert outside(drawn) == []


@given(last=st.floats(12.0, 13.1), least=st.floats(12.0, 13.1))
def test_the_limit_runs_through_no_voltage(last, least):
    drawn = profile(key="p", title="T", levels=levels(13.2, 13.2, 13.18, last), least_v=least)
    limit = next(line for line in drawn.lines if line.look == "limit").points[0][1]
    for text in drawn.texts:
        if text.words.endswith(" V") and "Least" not in text.words:
            assert not text.y - 11 < limit < text.y
