from jobs.intake.agencies import legal


def test_with_choices_leaves_out_zones_without_a_tick():
    profile = legal.with_choices({}, {"front": ["red"], "rear": []}, ["wail"])
    assert profile == {"colours": {"front": ["red"]}, "tones": ["wail"]}


def test_with_choices_keeps_zones_that_the_form_does_not_offer():
    old = {"colours": {"upper": ["red"], "front": ["blue"]}, "permit": "N-1"}
    profile = legal.with_choices(old, {"front": []}, [])
    assert profile == {"colours": {"upper": ["red"]}, "tones": [], "permit": "N-1"}


def test_matrix_says_for_every_zone_which_colours_are_permitted():
    rows = dict(legal.matrix({"colours": {"front": ["red", "white"], "upper": ["blue"]}}))
    assert rows["Front"] == [True, False, False, True, False, False]
    assert rows["Sides"] == [False] * 6
    assert rows["Upper"] == [False, True, False, False, False, False]
