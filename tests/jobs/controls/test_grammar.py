"""The expression grammar: what it reads, and the sentence about what it does not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.controls.codec import vocabulary
from jobs.controls.expressions import AllOf, AnyOf, Compare, Edge, Known, Named, Not, Relation, text
from jobs.controls.grammar import MAX_NESTING, parse
from jobs.controls.tokens import MAX_LENGTH, ExpressionError
from tests.jobs.controls.small import small_logic
from tests.jobs.controls.strategies import conditions, expressions, signals

WORDS = vocabulary(small_logic())
UP, PB = Named(name="UP"), Named(name="PB")


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("UP", UP),
        ("up and pb", AllOf(parts=(UP, PB))),
        ("UP OR PB AND TONE", AnyOf(parts=(UP, AllOf(parts=(PB, Named(name="TONE")))))),
        ("NOT (UP OR PB)", Not(inner=AnyOf(parts=(UP, PB)))),
        ("GEAR is p", Compare(name="GEAR", relation=Relation.IS, operand="P")),
        ("GEAR is not P", Not(inner=Compare(name="GEAR", relation=Relation.IS, operand="P"))),
        ("GEAR = P", Compare(name="GEAR", relation=Relation.IS, operand="P")),
        ("SPD at least 1", Compare(name="SPD", relation=Relation.AT_LEAST, operand="1")),
        ("SPD >= 10.0", Compare(name="SPD", relation=Relation.AT_LEAST, operand="scene")),
        ("SPD < scene", Compare(name="SPD", relation=Relation.BELOW, operand="scene")),
        ("STOWED is unknown", Not(inner=Known(name="STOWED"))),
        ("TONE pressed", Edge(name="TONE", rising=True)),
        ("TONE released", Edge(name="TONE", rising=False)),
        ("PARKED AND MAST", AllOf(parts=(Named(name="PARKED"), Named(name="MAST")))),
    ],
)
def test_expressions_mean_what_they_say(written: str, read: object) -> None:
    assert parse(written, WORDS) == read


@pytest.mark.parametrize(
    ("written", "place", "sentence"),
    [
        ("", 0, "stops too early; a signal name is missing"),
        ("UP AND", 6, "stops too early"),
        ("UP PB", 3, "AND or OR may be missing"),
        ("UP & PB", 3, "Write AND"),
        ("UP AND !PB", 7, "Write NOT"),
        ("SPD > 10", 4, "Write at least"),
        ("(UP OR PB", 0, "a closing parenthesis is missing"),
        ("UP) OR PB", 2, "not expected here"),
        ("PARKD AND UP", 0, "Did you mean PARKED"),
        ("GEAR", 0, "write for example “GEAR is P”"),
        ("GEAR is 5", 8, "it has P, R, N, D"),
        ("SPD at least 11", 13, "its thresholds are 1, scene"),
        ("SPD is 1", 7, "SPD is measured"),
        ("SPD at 1", 4, "“at” is followed by “least”"),
        ("UP is on", 0, "write “UP” or “NOT UP”"),
        ("MAST pressed", 0, "only a two-state signal is pressed"),
        ("PARKED is known", 0, "always known"),
        ("AND UP", 0, "a signal name is expected, not “AND”"),
        ("UP AND OR PB", 7, "not “OR”"),
        ("§", 0, "is not used here"),
    ],
)
def test_errors_name_the_place_and_help(written: str, place: int, sentence: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse(written, WORDS)
    assert caught.value.position == place
    assert sentence in str(caught.value)


def test_suggestions_come_as_data_too() -> None:
    with pytest.raises(ExpressionError) as caught:
        parse("STOVED", WORDS)
    assert caught.value.suggestions[0] == "STOWED"


def test_ten_thousand_characters_are_read_and_one_more_is_refused() -> None:
    chain = " OR ".join(["UP"] * 1667)
    longest = chain + " " * (MAX_LENGTH - len(chain))
    assert isinstance(parse(longest, WORDS), AnyOf)
    with pytest.raises(ExpressionError, match="10,001 characters; at most 10,000"):
        parse(longest + " ", WORDS)


@pytest.mark.parametrize("opening", ["(", "NOT ", "NOT("])
def test_deep_nesting_is_refused_with_a_sentence(opening: str) -> None:
    closing = ")" * opening.count("(")
    allowed = MAX_NESTING // 2 - 1
    parse(opening * allowed + "UP" + closing * allowed, WORDS)
    for depth in (MAX_NESTING + 1, 1_500):
        with pytest.raises(ExpressionError, match="nested"):
            parse(opening * depth + "UP" + closing * depth, WORDS)


@given(st.text(max_size=60))
def test_any_text_gives_an_expression_or_a_sentence(written: str) -> None:
    try:
        parse(written, WORDS)
    except ExpressionError as error:
        assert str(error).endswith((".", "?"))
        assert 0 <= error.position <= len(written)


@given(st.text(alphabet="UPB()NOTARD <=>", max_size=40))
def test_any_mix_of_real_words_gives_an_expression_or_a_sentence(written: str) -> None:
    try:
        parse(written, WORDS)
    except ExpressionError as error:
        assert str(error)


@given(st.data())
def test_text_of_an_expression_reads_back_the_same(data: st.DataObject) -> None:
    inputs = [data.draw(signals(name)) for name in "ABC"]
    leaves = st.one_of(*[conditions(each, edges=True) for each in inputs])
    expression = data.draw(expressions(leaves))
    written = text(expression)
    again = parse(written, {each.name: each for each in inputs})
    assert text(again) == written
