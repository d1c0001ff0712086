"""Laws of planning: nothing is broken, overloaded or hidden, in any shop."""

import random
import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.planning.greedy import by_due_day, tightened
from jobs.planning.plan import LATE_WEIGHT, plan
from jobs.planning.shop import Order, Shop, Task, broken, cost, problems
from jobs.planning.why import because, chain


def make_shop(seed: int, jobs: int, stages: int, *, bays: int, people: int, longest: int) -> Shop:
    dice = random.Random(seed)
    tasks, orders = [], []
    for number in range(jobs):
        job = f"J-{number:02d}"
        for place in range(stages):
            before = [f"{job}.{place - 1}"] if place and dice.random() < 0.9 else []
            if place > 2 and dice.random() < 0.2:
                before.append(f"{job}.{place - 3}")
            tasks.append(
                Task(
                    key=f"{job}.{place}",
                    job=job,
                    name=f"S{place}",
                    slots=dice.randint(1, longest),
                    needs={"Bays": 1, "Installers": dice.randint(1, min(2, people))}
                    if dice.random() < 0.85
                    else {},
                    after=tuple(dict.fromkeys(before)),
                    not_before=dice.choice([0, 0, 0, dice.randint(0, 40)]),
                    because="the chassis",
                )
            )
        due = dice.choice([None, dice.randint(5, 20 + 12 * jobs)])
        orders.append(Order(job=job, due=due, weight=dice.randint(1, 3)))
    return Shop(
        tasks=tuple(tasks), orders=tuple(orders), capacity={"Bays": bays, "Installers": people}
    )


@pytest.mark.slow
def test_two_hundred_shops_are_planned_without_breaking_anything():
    for seed in range(200):
        dice = random.Random(1_000 + seed)
        shop = make_shop(
            seed,
            dice.randint(1, 6),
            dice.randint(1, 5),
            bays=dice.randint(1, 3),
            people=dice.randint(1, 4),
            longest=12,
        )
        found = plan(shop, seconds=0.3)
        assert found.problems == ()
        assert broken(shop, found.starts) == []
        assert set(found.starts) == {task.key for task in shop.tasks}
        assert found.bound <= found.cost == cost(shop, found.starts, LATE_WEIGHT)
        assert found.cost <= cost(shop, by_due_day(shop), LATE_WEIGHT)
        for order in shop.orders:
            assert because(shop, found.starts, order.job)


@pytest.mark.slow
def test_thirty_units_of_fourteen_stages_within_ten_seconds():
    shop = make_shop(42, 30, 14, bays=4, people=6, longest=24)
    started = time.monotonic()
    found = plan(shop, seconds=7, workers=2)
    assert time.monotonic() - started < 10
    assert broken(shop, found.starts) == []
    assert found.optimal or 0 < found.gap_percent <= 100


def chain_of(*slots: int, **facts) -> Shop:
    tasks = [
        Task(
            key=f"A.{n}", job="A", name=f"S{n}", slots=length, needs={"Bays": 1},
            after=(f"A.{n - 1}",) if n else (),
        )
        for n, length in enumerate(slots)
    ]  # fmt: skip
    return Shop(
        **{"tasks": tuple(tasks), "orders": (Order(job="A", due=1),), "capacity": {"Bays": 1},
           **facts}
    )  # fmt: skip


def test_the_best_of_a_small_shop_is_known_to_be_the_best():
    found = plan(chain_of(2, 3, 4), seconds=2)
    assert found.starts == {"A.0": 0, "A.1": 2, "A.2": 5}
    assert (found.optimal, found.gap_percent) == (True, 0)
    assert found.cost == 9 + LATE_WEIGHT * 8


def test_the_solver_beats_taking_units_by_their_due_day():
    """The long unit is late anyway; doing the short one first saves more."""
    tasks = (
        Task(key="L", job="L", name="S1", slots=20, needs={"Bays": 1}),
        Task(key="S", job="S", name="S1", slots=2, needs={"Bays": 1}),
    )
    orders = (Order(job="L", due=1), Order(job="S", due=2))
    shop = Shop(tasks=tasks, orders=orders, capacity={"Bays": 1})
    assert plan(shop, seconds=2).starts == {"S": 0, "L": 2}


@pytest.mark.parametrize(
    ("shop", "sentence"),
    [
        (chain_of(1, capacity={"Bays": 0}), "needs 1 of Bays; there are 0"),
        (chain_of(0), "takes no time"),
        (
            chain_of(1, tasks=(Task(key="A.0", job="A", name="S0", slots=1, after=("X",)),)),
            "which is not there",
        ),
        (
            chain_of(1, tasks=(
                Task(key="A", job="A", name="S0", slots=1, after=("B",)),
                Task(key="B", job="A", name="S1", slots=1, after=("A",)),
            )),
            "in a circle",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_planned_is_said_and_never_overloaded(shop, sentence):
    found = plan(shop, seconds=1)
    assert found.starts == {}
    assert sentence in found.problems[0]
    assert problems(shop)


def test_an_empty_shop_has_an_empty_plan():
    assert plan(Shop(tasks=(), orders=(), capacity={}), seconds=1).starts == {}


def test_every_breach_is_found():
    shop = chain_of(2, 2)
    assert broken(shop, {"A.0": 0, "A.1": 2}) == []
    assert len(broken(shop, {"A.0": 0, "A.1": 1})) == 2
    late = Shop(
        tasks=(Task(key="A", job="A", name="S0", slots=1, not_before=3, because="the chassis"),),
        orders=(), capacity={},
    )  # fmt: skip
    assert broken(late, {"A": 2}) == ["A starts before the chassis"]


@settings(max_examples=40)
@given(st.integers(0, 10_000))
def test_tightening_never_makes_a_plan_worse_nor_breaks_it(seed):
    shop = make_shop(seed, 4, 4, bays=2, people=3, longest=6)
    first = by_due_day(shop)
    again = tightened(shop, first)
    assert broken(shop, again) == []
    assert all(again[key] <= start for key, start in first.items())


def test_lateness_names_the_resource_that_holds_the_unit_up():
    tasks = (
        Task(key="A", job="J-1", name="S6", slots=8, needs={"Bays": 1}),
        Task(key="B", job="J-2", name="S6", slots=2, needs={"Bays": 1}),
    )
    shop = Shop(tasks=tasks, orders=(), capacity={"Bays": 1})
    assert because(shop, {"A": 0, "B": 8}, "J-2") == "S6 waits for Bays, held by J-1 (S6)."


def test_lateness_names_the_part_that_is_not_here():
    task = Task(key="A", job="J-1", name="S6", slots=1, not_before=9, because="part MAST-2")
    shop = Shop(tasks=(task,), orders=(), capacity={})
    assert because(shop, {"A": 9}, "J-1") == "S6 waits for part MAST-2."


def test_own_work_is_named_when_nothing_else_holds():
    shop = chain_of(3, 3)
    assert because(shop, {"A.0": 0, "A.1": 3}, "A").startswith("Its own work")
    assert [one.kind for one in chain(shop, {"A.0": 0, "A.1": 3}, "A")] == ["stage", "now"]
    assert chain(shop, {"A.0": 0, "A.1": 3}, "none") == []


def bench(*, slots: int, units: int = 2, last: int | None = 100) -> Shop:
    tasks = [
        Task(key=f"{n}", job=f"J-{n}", name="S1", slots=slots, needs={"Bays": 1})
        for n in range(units)
    ]
    orders = [Order(job=task.job, due=1) for task in tasks]
    return Shop(tasks=tuple(tasks), orders=tuple(orders), capacity={"Bays": 1}, slots=last)


def test_work_for_which_there_is_no_day_is_refused_and_not_put_on_the_last_one():
    found = plan(bench(slots=101), seconds=1)
    assert not found.starts
    assert "J-0 cannot end within the days" in found.problems[0]
    found = plan(bench(slots=60), seconds=1)
    assert not found.starts
    assert "too much work for what the shop has" in found.problems[0]
    assert plan(bench(slots=50), seconds=1).starts


def test_ten_thousand_hours_a_stage_are_answered_without_being_laid_out():
    began = time.process_time()
    assert plan(bench(slots=20_000, units=1_000, last=5_000), seconds=1).problems
    assert time.process_time() - began < 1


def test_a_missing_bay_is_not_named_a_thousand_times():
    shop = replace(bench(slots=1, units=1_000), capacity={"Bays": 0})
    found = plan(shop, seconds=1)
    assert "needs 1 of Bays; there are 0" in found.problems[0]
    assert len(found.problems) == 13
    assert "988 more" in found.problems[-1]
