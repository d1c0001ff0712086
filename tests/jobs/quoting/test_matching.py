from dataclasses import replace
from datetime import date

import pytest

from jobs.quoting.matching import OrderFacts, OtherRevision, QuoteFacts, mismatches

QUOTE = QuoteFacts(
    number="KS-1042",
    revision="B",
    approved=True,
    total_cents=7_816_151,
    changes_cents=0,
    bill_to="Harbour Rescue District\nPier Office",
    valid_until=date(2026, 5, 4),
)
ORDER = OrderFacts(
    revision="B",
    total_cents=7_816_151,
    bill_to="Harbour Rescue District, Pier Office",
    received_on=date(2026, 3, 24),
)
REV_A = OtherRevision(revision="A", total_cents=7_254_775, state="superseded")


def test_an_order_that_fits_has_no_mismatch():
    assert mismatches(ORDER, QUOTE, (REV_A,)) == []


def test_an_order_for_the_earlier_revision_names_revision_and_total():
    order = replace(ORDER, revision="A", total_cents=7_254_775)
    assert mismatches(order, QUOTE, (REV_A,)) == [
        "The order names revision A, which is superseded; revision B is approved.",
        "The order's total is $72,547.75; the contract is $78,161.51 ($5,613.76 less on the "
        "order). It is the total of revision A.",
    ]


@pytest.mark.parametrize("total", [7_816_150, 7_816_152])
def test_one_cent_off_is_a_mismatch(total):
    (sentence,) = mismatches(replace(ORDER, total_cents=total), QUOTE)
    assert "($0.01 " in sentence


@pytest.mark.parametrize("total", [7_816_151, 7_835_664])
def test_quote_alone_and_quote_with_approved_changes_both_fit(total):
    assert mismatches(replace(ORDER, total_cents=total), replace(QUOTE, changes_cents=19_513)) == []


def test_unknown_revision_and_wrong_payer_are_named():
    order = replace(ORDER, revision="X", bill_to="Another office")
    assert mismatches(order, QUOTE, (REV_A,)) == [
        "The order names revision X, which does not exist; revision B is approved.",
        "The order is billed to 'Another office'; the quote is addressed to "
        "'Harbour Rescue District\nPier Office'.",
    ]


def test_capitals_commas_and_lines_of_the_address_do_not_matter():
    order = replace(ORDER, bill_to="harbour rescue district.  Pier office")
    assert mismatches(order, QUOTE) == []


def test_an_order_for_a_quote_nobody_approved_is_held():
    (sentence,) = mismatches(ORDER, replace(QUOTE, approved=False))
    assert "only an approved revision can be ordered" in sentence


def test_an_order_after_the_validity_of_an_unapproved_quote_says_so():
    order = replace(ORDER, received_on=date(2026, 5, 5))
    found = mismatches(order, replace(QUOTE, approved=False))
    assert found[-1] == "The order came on 5 May 2026; the quote was valid until 4 May 2026."


def test_without_any_quote_there_is_nothing_to_match():
    assert "nothing to be matched with" in mismatches(ORDER, None)[0]


@pytest.mark.parametrize(
    ("typed", "quoted", "words"),
    [
        ("", "NC-7", "The order names no contract; the quote is under contract NC-7."),
        ("NC-8", "NC-7", "The order names contract NC-8; the quote is under contract NC-7."),
        ("NC-7", "", "The order names contract NC-7; the quote is under no contract."),
    ],
)
def test_an_order_outside_the_quotes_contract_is_named(typed, quoted, words):
    order, quote = replace(ORDER, contract=typed), replace(QUOTE, contract=quoted)
    assert mismatches(order, quote) == [words]
    (routed,) = mismatches(order, replace(quote, route="through the buying office"))
    assert routed == f"{words} Orders under it: through the buying office."


def test_a_contract_number_is_the_same_in_any_case():
    assert mismatches(replace(ORDER, contract="nc-7"), replace(QUOTE, contract="NC-7")) == []
