"""Device ratings and families against published lists."""

from jobs.electrical.tables.devices import (
    AC43_TABLE_11_3,
    BREAKER_RATINGS_A,
    BREAKER_TYPES,
    FUSE_ONLY_RATINGS_A,
    FUSES,
    RATINGS_A,
    SWITCH_DERATING,
)


def colour(family, amps):
    [row] = [item for item in FUSES if (item.family, item.amps) == (family, amps)]
    return row.colour


def test_blade_colours():
    """ISO 8820-3; one secondary text gives tan as 1 A, which is wrong."""
    published = {
        1: "black",
        2: "grey",
        3: "violet",
        4: "pink",
        5: "tan",
        7.5: "brown",
        10: "red",
        15: "blue",
        20: "yellow",
        25: "clear/white",
        30: "green",
        40: "orange/amber",
    }
    assert {amps: colour("blade", amps) for amps in published} == published


def test_the_same_colour_means_another_rating_in_another_family():
    assert colour("blade", 10) == colour("blade high current", 50) == "red"


def test_standard_breaker_ratings():
    """NEC 240.6(A)."""
    assert {15, 20, 25, 110, 225, 6000} <= set(BREAKER_RATINGS_A)
    assert not {55, 65, 75, 85} & set(BREAKER_RATINGS_A)
    assert FUSE_ONLY_RATINGS_A == (1, 3, 6, 10, 601)
    assert len(BREAKER_RATINGS_A) == 37


def test_breaker_types_after_an_overload():
    """SAE J553: closed once the overload is gone, and once the supply was cycled."""
    found = {
        item.number: (item.closed_when_overload_ends, item.closed_when_supply_cycles)
        for item in BREAKER_TYPES
    }
    assert found == {1: (True, True), 2: (False, True), 3: (False, False)}


def test_wire_protection_of_table_11_3():
    """AC 43.13-1B; its two doubtful rows are left out."""
    found = {row.awg: (row.breaker_a, row.fuse_a) for row in AC43_TABLE_11_3}
    assert found["20"] == (7.5, 5)
    assert found["12"] == (30, 20)
    assert found["2"] == (125, 100)
    assert "1" not in found


def test_switch_derating_of_table_11_4():
    found = {(row.nominal_v, row.load): row.factor for row in SWITCH_DERATING}
    assert [found[12, load] for load in ("lamp", "inductive", "resistive", "motor")] == [5, 2, 1, 2]
    assert [found[28, load] for load in ("lamp", "inductive", "resistive", "motor")] == [8, 4, 2, 3]


def test_ratings_rise():
    for ratings in RATINGS_A.values():
        assert list(ratings) == sorted(set(ratings))
