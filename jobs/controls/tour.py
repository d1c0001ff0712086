"""Rows that need no memory, in one tour with little to set between steps.

Always the row nearest to what is set already comes next; a setting that happens to show rows of
other rules shows them in the same step.
"""

from dataclasses import dataclass

from jobs.controls.book import Book
from jobs.controls.cones import nearest, spelled, state_in
from jobs.controls.decision import holds
from jobs.controls.decisions import Decision
from jobs.controls.results import Setting
from jobs.controls.rows import Component
from jobs.controls.runner import Played
from jobs.controls.steps import Assertion, Expectation
from jobs.controls.tables import Tables


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """A row of a decision. `mask` is one state that shows it, `cares` the variables it is about."""

    decision: Decision
    row: int
    outcome: bool
    proof_s: float
    parts: tuple[Component, ...]
    mask: int
    cares: int


def item(book: Book, decision: Decision, row: int, parts: list[Component]) -> Item:
    mask = cares = 0
    for part in parts:
        mask |= spelled(part.cone, 0, nearest(part.cone, part.states(row)))
        cares |= sum(1 << number for number in part.cone.order)
    outcome = holds(decision.shape, row)
    return Item(
        decision=decision,
        row=row,
        outcome=outcome,
        proof_s=book.proof_s(decision, outcome),
        parts=tuple(parts),
        mask=mask,
        cares=cares,
    )


def tour(book: Book, items: list[Item]) -> None:
    """Write steps until every item is shown."""
    left = list(items)
    while left:
        now = book.runner.now()
        chosen = min(left, key=lambda each: ((each.mask ^ now) & each.cares).bit_count())
        played = book.play(
            _settings(book, chosen, now),
            set(chosen.decision.rules),
            at_least_s=chosen.proof_s,
            may_restart=True,
        )
        shown = [chosen, *[each for each in _shown_too(book, left, played) if each is not chosen]]
        book.write([_assertion(book, each, played) for each in shown])
        done = {id(each) for each in shown}
        left = [each for each in left if id(each) not in done]


def _settings(book: Book, chosen: Item, now: int) -> list[Setting]:
    """The settings that show the row and change least of what is set."""
    found = []
    for part in chosen.parts:
        state = nearest(part.cone, part.states(chosen.row), state_in(part.cone, now))
        found += book.settings_from(part.cone, spelled(part.cone, 0, state))
    return found


def _shown_too(book: Book, left: list[Item], played: Played) -> list[Item]:
    """Items whose row is what is set now, their delays over."""
    point = Tables.at(book.model.circuit, book.runner.now())
    running = {timer.rule for timer in played.outcome.state.timers}
    return [
        each
        for each in left
        if each.proof_s <= played.wait_s
        and all(
            point.table(place.node) == each.row >> at & 1
            for at, place in enumerate(each.decision.places)
        )
        and running.isdisjoint(each.decision.rules)
    ]


def _assertion(book: Book, shown: Item, played: Played) -> Assertion:
    expect = expectation(book, shown.decision, shown.outcome, played)
    settings = book.settings_of(*[part.cone for part in shown.parts])
    key = book.row_key(shown.decision, shown.row)
    safety = shown.decision.output in book.safety
    return book.assertion(key, expect, settings, rules=shown.decision.rules, safety=safety)


def expectation(book: Book, decision: Decision, outcome: bool, played: Played) -> Expectation:
    """What the machine shows, which must be what the row says."""
    seen = decision.output in played.outcome.energised
    assert seen == outcome, f"{decision.key} does not do what its rules say"
    first = decision.output in played.at_once.energised
    return Expectation(name=decision.output, on=seen, at_once=first if first != seen else None)
