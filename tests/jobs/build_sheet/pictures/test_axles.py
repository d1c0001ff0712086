from hypothesis import example, given
from hypothesis import strategies as st

from jobs.build_sheet.pictures.axles import Axle, axles
from tests.drawings import clashes, outside


def axle(name="Front axle", received=3340.0, added=553.0, carried=609.0, rating=4630.0):
    return Axle(
        name=name, received_lb=received, added_lb=added, carried_lb=carried, rating_lb=rating
    )


def test_axles_say_load_share_and_percent_of_the_rating():
    drawn = axles(axle(), axle("Rear axle", 2610, 1080, 1091, 7275))
    words = [text.words for text in drawn.texts]
    assert "4,502 lb, 48 % of the weight" in words
    assert "97 % of 4,630 lb" in words
    assert "rear 4,781 lb, 66 % of 7,275 lb" in drawn.words


def test_axles_without_a_rating_say_so():
    assert "rating not entered" in axles(axle(rating=None), axle("Rear axle")).words


def test_axles_step_back_where_the_build_lifts_the_axle():
    drawn = axles(axle(added=-200.0), axle("Rear axle"))
    back = next(box for box in drawn.boxes if "lifts" in box.look)
    received = next(box for box in drawn.boxes if box.look == "part part-a" and box.height == 38)
    assert received.x < back.x and round(back.right - received.right, 6) == 0


POUNDS = st.floats(-3000, 30_000)


@example(received=533.0, added=-106.0, carried=410.0, rating=None)
@given(POUNDS, POUNDS, POUNDS, st.none() | st.floats(1, 30_000))
def test_axles_never_write_over_themselves(received, added, carried, rating):
    front = axle(received=abs(received), added=added, carried=carried, rating=rating)
    drawn = axles(front, axle("Rear axle"))
    assert clashes(drawn) == []
    assert outside(drawn) == []
