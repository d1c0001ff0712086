"""Currents that are not steady."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.current import heating_current_a, swing_a

amps = st.floats(min_value=0, max_value=100)


def rms(samples: list[float]) -> float:
    return (sum(value * value for value in samples) / len(samples)) ** 0.5


@given(
    on=st.integers(min_value=1, max_value=20), off=st.integers(min_value=0, max_value=20), peak=amps
)
def test_an_on_off_load_heats_as_its_samples_do(on, off, peak):
    samples = [peak] * on + [0.0] * off
    average = sum(samples) / len(samples)
    found = heating_current_a(average_a=average, swing_a=swing_a(average_a=average, peak_a=peak))
    assert found == pytest.approx(rms(samples), abs=1e-6)


@given(
    patterns=st.lists(
        st.tuples(st.lists(st.booleans(), min_size=12, max_size=12), amps), min_size=1, max_size=6
    )
)
def test_no_pattern_of_flashing_heats_more_than_we_say(patterns):
    """Whatever lamps flash together, the sum of their swings is the worst case."""
    total = [sum(peak for on, peak in patterns if on[at]) for at in range(12)]
    averages = [sum(on) / 12 * peak for on, peak in patterns]
    swings = sum(
        swing_a(average_a=average, peak_a=max(peak, average))
        for average, (_, peak) in zip(averages, patterns, strict=True)
    )
    bound = heating_current_a(average_a=sum(averages), swing_a=swings)
    assert rms(total) <= bound * (1 + 1e-9) + 1e-9


@given(load=amps)
def test_a_steady_load_heats_as_itself(load):
    swing = swing_a(average_a=load, peak_a=load)
    assert heating_current_a(average_a=load, swing_a=swing) == pytest.approx(load)
