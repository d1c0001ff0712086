"""All test steps of a logic."""

from jobs.controls.book import Book
from jobs.controls.decisions import Decision, decisions
from jobs.controls.fault_steps import show_faults
from jobs.controls.large import large_cover
from jobs.controls.logic import Logic
from jobs.controls.mcdc import Cover, Form, cover
from jobs.controls.model import Model
from jobs.controls.rows import Component, components, legal_rows
from jobs.controls.steps import Coverage, NotShown, TestPlan
from jobs.controls.tables import MAX_VARIABLES
from jobs.controls.tour import Item, item, tour
from jobs.controls.walk import show_heads, walk

NEVER_DECIDES = "It never decides: whenever it would, other conditions decide the same."


def test_plan(logic: Logic) -> TestPlan:
    """Steps for every rule and head, with what cannot be shown and why."""
    book = Book(logic)
    items: list[Item] = []
    remembering: list[Decision] = []
    for decision in decisions(book.model):
        parts = components(book.model, decision)
        if parts is None:
            remembering.append(decision)
            continue
        found = rows_of(book.model, decision, parts)
        note(book, decision, found)
        items += [item(book, decision, row, parts) for row in found.rows]
    tour(book, items)
    show_heads(book)
    for decision in remembering:
        note(book, decision, walk(book, decision))
    show_faults(book)
    return TestPlan(
        steps=tuple(book.steps),
        coverage=tuple(book.coverage),
        not_shown=tuple(book.not_shown),
    )


test_plan.__test__ = False  # type: ignore[attr-defined]


def rows_of(model: Model, decision: Decision, parts: list[Component]) -> Cover:
    """A small set of rows for a decision without memory."""
    count = len(decision.places)
    if count > MAX_VARIABLES:
        return large_cover(model, decision, parts)
    legal = legal_rows(parts, count)
    return cover(decision.shape, count, legal=legal, same=decision.same)


def note(book: Book, decision: Decision, found: Cover) -> None:
    """Write down the form, and each condition that cannot be shown."""
    book.coverage.append(
        Coverage(
            decision=decision.key,
            output=decision.output,
            conditions=len(decision.places),
            rows=len(found.rows),
            form=found.form,
        )
    )
    for shown in found.shown:
        if shown.form is Form.NOT_POSSIBLE:
            words = decision.places[shown.condition].words
            missed = NotShown(output=decision.output, condition=words, reason=NEVER_DECIDES)
            if missed not in book.not_shown:
                book.not_shown.append(missed)
