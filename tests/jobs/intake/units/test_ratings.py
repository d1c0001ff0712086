from decimal import Decimal

from jobs.intake.units.ratings import contradictions


def test_what_is_not_known_contradicts_nothing():
    assert contradictions({}) == []
    assert contradictions({"gvwr_g": Decimal(5_000_000), "gawr_front_g": Decimal(1)}) == []


def test_each_contradiction_points_at_its_field():
    found = contradictions(
        {
            "gvwr_g": Decimal(9),
            "gawr_front_g": Decimal(4),
            "gawr_rear_g": Decimal(4),
            "received_front_g": Decimal(5),
            "received_rear_g": Decimal(4),
            "alternator_rating_ma": 10,
            "alternator_hot_idle_ma": 12,
            "alternator_hot_high_idle_ma": 11,
        }
    )
    assert [field for field, _ in found] == [
        "gvwr_g",
        "received_front_g",
        "alternator_hot_idle_ma",
        "alternator_hot_high_idle_ma",
        "alternator_hot_idle_ma",
        "received_rear_g",
    ]
