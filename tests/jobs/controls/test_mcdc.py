"""Test-row sets against published sizes, brute force, and an independent checker."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.controls.expressions import AllOf, AnyOf, Expression, Named, Not, text
from jobs.controls.mcdc import Form, cover
from tests.jobs.controls import rows as r

# Minimum unique-cause sets; sizes follow "conditions + 1" of the MC/DC literature
# (NASA/TM-2001-210876 and the course material that counts them), pair counts by enumeration.
PUBLISHED = [
    ("not A", 1, [1], 2, 1),
    ("A and B", 1, [1, 1], 3, 1),
    ("A or B", 3, [1, 1], 3, 1),
    ("A and B and C", 1, [1, 1, 1], 4, 1),
    ("(A or B) and C", 3, [1, 1, 3], 4, 2),
    ("A and (B or C)", 3, [3, 1, 1], 4, 2),
    ("A and B and C and D", 1, [1, 1, 1, 1], 5, 1),
    ("(A and B) or (C and D)", 7, [3, 3, 3, 3], 5, 4),
    ("N and (D or M or S or T)", 15, [15, 1, 1, 1, 1], 6, 4),
]


@pytest.mark.parametrize(("written", "true", "pair_counts", "size", "sets"), PUBLISHED)
def test_sets_are_among_the_published_minimum_sets(
    written: str, true: int, pair_counts: list[int], size: int, sets: int
) -> None:
    count = len(pair_counts)
    of = r.outcome(written)
    assert sum(of(row) for row in product((False, True), repeat=count)) == true
    assert [len(r.pairs(of, count, at)) for at in range(count)] == pair_counts
    smallest, minimum = r.minimum_sets(of, count)
    assert (smallest, len(minimum)) == (size, sets)
    found = cover(r.shape(r.read(written)), count)
    assert r.spread(found.rows, count) in minimum
    assert found.form is Form.UNIQUE_CAUSE


@pytest.mark.parametrize(
    ("written", "rows"),
    [
        ("not A", {"F", "T"}),
        ("A and B", {"TT", "FT", "TF"}),
        ("A or B", {"FF", "TF", "FT"}),
        ("A and B and C", {"TTT", "FTT", "TFT", "TTF"}),
        ("A and B and C and D", {"TTTT", "FTTT", "TFTT", "TTFT", "TTTF"}),
    ],
)
def test_unique_minimum_sets_are_met_literally(written: str, rows: set[str]) -> None:
    count = len(next(iter(rows)))
    found = r.spread(cover(r.shape(r.read(written)), count).rows, count)
    assert {"".join("FT"[value] for value in row) for row in found} == rows


def test_the_published_pair_for_two_ors_shows_its_condition() -> None:
    of = r.outcome("(A or B) and (C or D)")
    pair = frozenset({(True, False, True, False), (False, False, True, False)})
    assert pair in r.pairs(of, 4, 0)


@pytest.mark.parametrize(
    "written",
    [
        "(A and not B) or (not A and B)",
        "(A and B) or (A and C) or (B and C)",
        "(A and B) or (not A and C)",
    ],
)
def test_letters_that_stand_twice_need_masking(written: str) -> None:
    expression = r.read(written)
    letters = r.places(expression)
    count = len(letters)
    same = tuple(
        tuple(at for at, name in enumerate(letters) if name == letter)
        for letter in sorted(set(letters))
    )
    legal = sum(
        1 << row
        for row in range(1 << count)
        if all(len({row >> at & 1 for at in group}) == 1 for group in same)
    )
    found = cover(r.shape(expression), count, legal=legal, same=same)
    assert found.form is Form.MASKING
    of, rows = r.outcome(written), r.spread(found.rows, count)
    assert all(legal >> row & 1 for row in found.rows)
    assert all(r.shows_by_masking(of, rows, at) for at in range(count))
    tied = [at for group in same if len(group) > 1 for at in group]
    assert not any(r.shows_by_unique_cause(of, rows, at) for at in tied)


def test_a_condition_that_can_never_decide_is_reported() -> None:
    shape = r.shape(r.read("A or (A and B)"))
    legal = sum(1 << row for row in range(8) if (row & 1) == (row >> 1 & 1))
    found = cover(shape, 3, legal=legal, same=((0, 1),))
    assert [each.form for each in found.shown] == [
        Form.MASKING,
        Form.TOGETHER,
        Form.NOT_POSSIBLE,
    ]


@st.composite
def read_once(draw: st.DrawFn, letters: str = "ABCDEF") -> Expression:
    """A random decision in which each letter stands once."""
    parts: list[Expression] = [
        Named(name=letter) for letter in letters[: draw(st.integers(1, len(letters)))]
    ]
    while len(parts) > 1:
        at = draw(st.integers(0, len(parts) - 2))
        kind = AllOf if draw(st.booleans()) else AnyOf
        joined: Expression = kind(parts=tuple(parts[at : at + 2]))
        parts[at : at + 2] = [Not(inner=joined) if draw(st.booleans()) else joined]
    return Not(inner=parts[0]) if draw(st.booleans()) else parts[0]


@settings(max_examples=60, deadline=None)
@given(read_once())
def test_free_conditions_take_one_row_more_than_there_are(expression: Expression) -> None:
    count = len(r.places(expression))
    of = r.outcome(text(expression))
    for found in (
        cover(r.shape(expression), count),
        cover(r.shape(expression), count, legal=(1 << (1 << count)) - 1),
    ):
        rows = r.spread(found.rows, count)
        assert len(rows) == count + 1
        assert all(r.shows_by_unique_cause(of, rows, at) for at in range(count))


def test_thirty_conditions_take_thirty_one_rows() -> None:
    written = " AND ".join(f"({a} OR {b})" for a, b in zip("ACEGMS" * 3, "BDFHNT" * 3, strict=True))
    count = 36
    assert len(cover(r.shape(r.read(written)), count).rows) == count + 1


@settings(max_examples=80, deadline=None)
@given(read_once("ABCDE"), st.integers(0, (1 << 32) - 1))
def test_only_legal_rows_are_used_and_every_legal_pair_is_found(
    expression: Expression, mask: int
) -> None:
    count = len(r.places(expression))
    legal = mask & ((1 << (1 << count)) - 1)
    of = r.outcome(text(expression))
    found = cover(r.shape(expression), count, legal=legal)
    rows = r.spread(found.rows, count)
    able = r.spread([row for row in range(1 << count) if legal >> row & 1], count)
    assert rows <= able
    for shown in found.shown:
        at = shown.condition
        if r.pairs(of, count, at, able):
            assert r.shows_by_unique_cause(of, rows, at)
            assert shown.form is Form.UNIQUE_CAUSE
        elif r.shows_by_masking(of, able, at):
            assert r.shows_by_masking(of, rows, at)
        else:
            assert shown.form is Form.NOT_POSSIBLE


def mutants(expression: Expression) -> list[Expression]:
    """The decision with one operator turned over, or one part left out."""
    match expression:
        case Not(inner=inner):
            return [inner, *[Not(inner=each) for each in mutants(inner)]]
        case AllOf(parts=parts) | AnyOf(parts=parts):
            kind = type(expression)
            other = AnyOf if kind is AllOf else AllOf
            found: list[Expression] = [other(parts=parts)]
            for at, part in enumerate(parts):
                rest = (*parts[:at], *parts[at + 1 :])
                found.append(rest[0] if len(rest) == 1 else kind(parts=rest))
                found += [
                    kind(parts=(*parts[:at], each, *parts[at + 1 :])) for each in mutants(part)
                ]
            return found
        case _:
            return []


def by_name(written: str) -> r.Outcome:
    """As outcome, but letters by name, so that decisions with parts left out can be compared."""
    code = compile(written.lower(), written, "eval")
    return lambda values: bool(eval(code, dict(zip("abcdef", values, strict=False))))


@settings(max_examples=60, deadline=None)
@given(read_once())
def test_every_mutant_is_caught_by_the_rows(expression: Expression) -> None:
    count = len(r.places(expression))
    rows = r.spread(cover(r.shape(expression), count).rows, count)
    right = by_name(text(expression))
    for mutant in mutants(expression):
        wrong = by_name(text(mutant))
        assert any(right(row) != wrong(row) for row in rows), text(mutant)
