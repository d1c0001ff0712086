"""An expression tried out while it is typed: how it reads, or its fault with the place marked."""

from dataclasses import dataclass

from jobs.build_sheet.drafting.typed import Mark, mark
from jobs.controls.codec import vocabulary
from jobs.controls.grammar import parse
from jobs.controls.logic import Logic
from jobs.controls.tokens import MAX_LENGTH, ExpressionError
from jobs.controls.words import Words, capital

MOST_LINES = 40


@dataclass(frozen=True, kw_only=True, slots=True)
class Says:
    """One answer: a sentence that is right, or a fault."""

    sentence: str
    wrong: bool = False
    mark: Mark | None = None


def tried(logic: Logic, written: str, *, lines: bool) -> list[Says]:
    """One answer for the whole text, or one for each line."""
    texts = written.splitlines()[:MOST_LINES] if lines else [written]
    return [_tried(logic, each.strip()) for each in texts if each.strip()]


def _tried(logic: Logic, written: str) -> Says:
    try:
        phrase = Words(logic).phrase(parse(written, vocabulary(logic)))
        return Says(sentence=f"{capital(phrase)}.")
    except ExpressionError as error:
        # What is too long is not shown again.
        shown = None if len(written) > MAX_LENGTH else mark(written, error.position)
        return Says(sentence=str(error), wrong=True, mark=shown)
