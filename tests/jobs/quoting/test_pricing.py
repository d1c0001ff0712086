"""Laws of money, and the rescue van to the cent."""

import ast
import doctest
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.quoting import comparison, matching, money, pricing, words
from jobs.quoting.models import LineKind
from jobs.quoting.pricing import (
    COMPUTED,
    Kind,
    Price,
    PricedInput,
    Terms,
    change_price,
    goods_cents,
    half_up,
    percent,
    price,
    share,
    standard_rates,
)
from tests.jobs.quoting import rescue_van as van


def cents_of(priced: Price, *kinds: Kind) -> int:
    return sum(line.amount_cents for line in priced.lines if line.item.kind in kinds)


# The rescue van


def test_rescue_van_revision_b_reproduces_to_the_cent():
    priced = price(van.revision_b(), van.TERMS)
    assert cents_of(priced, Kind.PART) == 4_264_962
    assert cents_of(priced, Kind.LABOUR) + cents_of(priced, Kind.ONE_OFF) == 2_853_240
    assert cents_of(priced, Kind.SUPPLIES) == 127_949
    assert cents_of(priced, Kind.FREIGHT) == 185_000
    assert cents_of(priced, Kind.SUBLET) == 385_000
    assert priced.total_cents == 7_816_151


def test_rescue_van_list_price_and_hours():
    listed = sum(item.quantity * item.unit_cents for item in van.parts())
    minutes = sum(item.minutes for item in van.revision_b() if item.kind != Kind.OPTION)
    assert listed == 5_467_900
    assert minutes == 14_508


def test_rescue_van_revision_a_lacks_the_camera():
    assert price(van.revision_a(), van.TERMS).total_cents == 7_254_775


def test_rescue_van_change_order_adds_two_lights():
    priced = change_price(van.more_ground_lights(), van.TERMS)
    assert [line.amount_cents for line in priced.lines] == [7_488, 11_800, 225]
    assert priced.total_cents == 19_513


def test_option_delete_gives_back_what_the_camera_cost():
    option = van.delete_camera()
    (line,) = (one for one in price([option], van.TERMS).lines if one.item is option)
    assert line.amount_cents == 7_254_775 - 7_816_151


def test_firm_option_has_nothing_on_top():
    (line,) = price([van.second_charger()], van.TERMS).lines
    assert line.amount_cents == 64_000


# Rounding


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [("0.4", 0), ("0.5", 1), ("1.5", 2), ("2.5", 3), ("-0.5", -1), ("-2.5", -3), ("-2.4", -2)],
)
def test_half_a_cent_goes_up_away_from_zero(exact, rounded):
    assert half_up(Decimal(exact)) == rounded


def test_line_is_rounded_once():
    # 3 x 0.33 = 0.99 less 50 % = 0.495; rounding each piece first would give 0.51.
    assert goods_cents(quantity=Decimal(3), unit_cents=33, discount_bp=5_000) == 50


def test_exclusion_keeps_a_line_at_list_price():
    radio = PricedInput(
        section="Radio", description="Radio", unit_cents=100_000, discountable=False
    )
    (line,) = price([radio], replace(van.TERMS, supplies_bp=0)).lines
    assert (line.discount_bp, line.amount_cents) == (0, 100_000)


def test_freight_and_sublet_have_no_discount():
    priced = price([van.freight(), van.sublet()], van.TERMS)
    assert [line.amount_cents for line in priced.lines] == [185_000, 385_000]


def test_each_labour_class_has_its_own_line():
    rates = (
        *standard_rates(11_800),
        pricing.LabourRate(labour_class="Electrician", cents_per_hour=14_500),
    )
    items = [
        PricedInput(section="Power", description="Panel", minutes=90),
        PricedInput(section="Power", description="Inlet", minutes=30, labour_class="Electrician"),
    ]
    lines = price(items, Terms(rates=rates)).lines[2:]
    assert [(line.item.minutes, line.amount_cents) for line in lines] == [(90, 17_700), (30, 7_250)]


def test_hours_without_a_rate_are_an_error():
    item = PricedInput(section="x", description="x", minutes=60, labour_class="Welder")
    with pytest.raises(ValueError, match="no rate for the labour class 'Welder'"):
        price([item], van.TERMS)


# Fee


def test_a_contracts_fee_is_one_line_on_all_but_freight_and_options():
    terms = replace(van.TERMS, fee_bp=100)
    plain, charged = (price(van.revision_b(), one) for one in (van.TERMS, terms))
    freight = sum(one.amount_cents for one in plain.lines if one.item.kind == Kind.FREIGHT)
    assert cents_of(charged, Kind.FEE) == pricing.share(plain.total_cents - freight, 100)
    assert charged.total_cents == plain.total_cents + cents_of(charged, Kind.FEE)


def test_an_option_carries_its_own_fee_but_an_agreed_price_does_not():
    option = replace(van.second_charger(), firm=False)
    terms = replace(van.TERMS, fee_bp=250)
    (plain,), (charged,) = (price([option], one).lines for one in (van.TERMS, terms))
    assert charged.amount_cents == plain.amount_cents + pricing.share(plain.amount_cents, 250)
    agreed = replace(option, firm=True)
    assert price([agreed], terms).lines == price([agreed], van.TERMS).lines


# Tax


def test_tax_is_rounded_line_by_line_and_skips_untaxed_lines():
    items = [
        PricedInput(section="x", description="a", unit_cents=10),
        PricedInput(section="x", description="b", unit_cents=10),
        PricedInput(section="x", description="c", unit_cents=10, taxable=False),
    ]
    priced = price(items, Terms(rates=standard_rates(0), tax_bp=500))
    # 5 % of 0.10 is half a cent on each taxed line; of 0.20 it would be one cent, not two.
    assert cents_of(priced, Kind.TAX) == 2
    assert priced.total_cents == 32


def test_untaxed_labour_is_also_untaxed_inside_an_option():
    terms = replace(van.TERMS, supplies_bp=0, tax_bp=1_000, labour_taxable=False)
    option = replace(van.second_charger(), firm=False, minutes=60, discountable=False)
    (line,) = price([option], terms).lines
    assert (line.amount_cents, line.tax_cents) == (64_000 + 11_800, 6_400)


def test_exempt_quote_has_no_tax_line():
    assert cents_of(price(van.revision_b(), van.TERMS), Kind.TAX) == 0


# What is refused


def test_negative_quantity_belongs_in_an_option():
    with pytest.raises(ValueError, match="negative quantity belongs in an option"):
        price([replace(van.parts()[0], quantity=Decimal(-1))], van.TERMS)


def test_change_order_has_no_options():
    with pytest.raises(ValueError, match="no options"):
        change_price([van.second_charger()], van.TERMS)


@pytest.mark.parametrize("kind", sorted(COMPUTED))
def test_computed_lines_cannot_be_given(kind):
    with pytest.raises(ValueError, match="computed"):
        price([PricedInput(kind=kind, section="x", description="x")], van.TERMS)


@pytest.mark.parametrize("discount", [-1, 10_001])
def test_discount_is_between_nothing_and_everything(discount):
    with pytest.raises(ValueError, match="must be 0 to 10000"):
        Terms(rates=standard_rates(0), discount_bp=discount)


# Laws

CENTS = st.integers(0, 5_000_000)
MINUTES = st.integers(0, 60_000)
QUANTITIES = st.decimals(0, 500, places=2)


@st.composite
def inputs(draw, kinds=(Kind.PART, Kind.ONE_OFF, Kind.FREIGHT, Kind.SUBLET), signed=False):
    sign = draw(st.sampled_from((1, -1))) if signed else 1
    return PricedInput(
        kind=draw(st.sampled_from(kinds)),
        section="Any",
        description="Thing",
        quantity=draw(QUANTITIES) * sign,
        unit_cents=draw(CENTS),
        minutes=draw(MINUTES) * sign,
        discountable=draw(st.booleans()),
        taxable=draw(st.booleans()),
        firm=draw(st.booleans()),
    )


TERMS = st.builds(
    Terms,
    rates=st.integers(0, 50_000).map(standard_rates),
    discount_bp=st.integers(0, 10_000),
    supplies_bp=st.integers(0, 2_000),
    fee_bp=st.integers(0, 2_000),
    tax_bp=st.integers(0, 2_500),
    labour_taxable=st.booleans(),
)
BASE = st.lists(inputs(), max_size=12)
OPTIONS = st.lists(inputs(kinds=(Kind.OPTION,), signed=True), max_size=5)


@given(BASE, OPTIONS, TERMS)
def test_total_is_the_sum_of_rounded_lines(base, options, terms):
    priced = price([*base, *options], terms)
    counted = [line.amount_cents for line in priced.lines if line.item.kind != Kind.OPTION]
    assert all(type(line.amount_cents) is int for line in priced.lines)
    assert priced.total_cents == sum(counted)


@given(BASE, TERMS)
def test_total_is_within_half_a_cent_a_line_of_the_exact_price(base, terms):
    def with_fee(item: PricedInput) -> Decimal:
        fee = 0 if item.kind == Kind.FREIGHT else terms.fee_bp
        return exact(item) * (10_000 + fee) / 10_000

    def exact(item: PricedInput) -> Decimal:
        if item.kind == Kind.ONE_OFF:
            return Decimal(item.minutes) * item.unit_cents / 60
        off = terms.discount_bp if item.kind == Kind.PART and item.discountable else 0
        if item.kind == Kind.PART and item.firm:
            off = 0
        net = item.quantity * item.unit_cents * (10_000 - off) / 10_000
        if item.kind != Kind.PART:
            return net
        work = Decimal(item.minutes) * terms.rates[0].cents_per_hour / 60
        return net * (10_000 + terms.supplies_bp) / 10_000 + work

    untaxed = replace(terms, tax_bp=0)
    total = price(base, untaxed).total_cents
    assert abs(total - sum(map(with_fee, base))) <= Decimal("0.7") * (len(base) + 3)


@given(BASE, OPTIONS, TERMS)
def test_taken_options_add_exactly(base, options, terms):
    without = price([*base, *options], terms)
    taken = price([*base, *(replace(one, chosen=True) for one in options)], terms)
    added = sum(
        line.amount_cents + line.tax_cents
        for line in without.lines
        if line.item.kind == Kind.OPTION
    )
    assert taken.total_cents == without.total_cents + added


@given(inputs(kinds=(Kind.OPTION,)), TERMS)
def test_taking_out_gives_back_what_putting_in_cost(option, terms):
    back = replace(option, quantity=-option.quantity, minutes=-option.minutes)
    (add,), (delete,) = price([option], terms).lines[:1], price([back], terms).lines[:1]
    assert add.amount_cents == -delete.amount_cents


@given(st.lists(inputs(signed=True), max_size=8), TERMS)
def test_change_order_total_is_the_sum_of_rounded_lines(items, terms):
    priced = change_price(items, terms)
    assert priced.total_cents == sum(line.amount_cents for line in priced.lines)


@given(BASE, TERMS)
def test_quote_and_change_order_follow_the_same_rules(base, terms):
    assert price(base, terms) == change_price(base, terms)


@given(st.integers(-(10**9), 10**9), st.integers(0, 10_000))
def test_share_is_symmetrical_about_zero(cents, basis_points):
    assert share(cents, basis_points) == -share(-cents, basis_points)


# The code itself


@pytest.mark.parametrize("module", [pricing, money, comparison, matching, words])
def test_no_float_anywhere(module):
    tree = ast.parse(Path(module.__file__).read_text())
    for node in ast.walk(tree):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, float))
        assert not (isinstance(node, ast.Name) and node.id == "float")
        assert not (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "round")
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
            names = {child.id for child in ast.walk(node.left) if isinstance(child, ast.Name)}
            assert names & {"Decimal", "quantity"}, ast.unparse(node)


def test_doctests_hold():
    assert doctest.testmod(money).failed == 0


def test_kinds_are_those_of_the_table():
    assert {kind.value for kind in Kind} == set(LineKind.values)


@pytest.mark.parametrize(
    ("basis_points", "words"), [(0, "0 %"), (2_200, "22 %"), (825, "8.25 %"), (10_000, "100 %")]
)
def test_percent_reads_like_a_person_writes_it(basis_points, words):
    assert percent(basis_points) == words


# Further units


@given(
    BASE,
    TERMS,
    st.integers(1, 40),
    st.integers(0, 10_000),
)
def test_further_units_cost_goods_as_often_and_hours_at_their_factor(base, terms, units, factor):
    first = price(base, terms)
    all_units = price(base, replace(terms, units=units, repeat_bp=factor))
    goods = sum(line.amount_cents for line in first.lines if line.item.kind in pricing.EACH_UNIT)
    repeats = [line for line in all_units.lines if line.item.kind == Kind.REPEAT]
    work = sum(line.amount_cents for line in repeats if line.item.minutes)
    bare = [one.total_cents - cents_of(one, Kind.TAX, Kind.FEE) for one in (first, all_units)]
    assert bare[1] == bare[0] + (units - 1) * goods + work
    assert all_units.total_cents == sum(one.amount_cents for one in all_units.lines if one.counts)


def test_a_section_that_the_contract_excludes_has_no_discount():
    items_ = [
        PricedInput(section=name, description=name, unit_cents=10_000) for name in ("Radio", "IT")
    ]
    terms = replace(van.TERMS, supplies_bp=0, excluded=frozenset({"Radio"}))
    assert [line.amount_cents for line in price(items_, terms).lines] == [10_000, 7_800]


def test_hours_are_charged_at_the_class_of_their_section_unless_the_line_says_otherwise():
    mains = pricing.LabourRate(
        labour_class="Electrician", cents_per_hour=14_500, sections=("Power",)
    )
    terms = Terms(rates=(*standard_rates(10_000), mains))
    items_ = [
        PricedInput(section="Power", description="a", minutes=60),
        PricedInput(
            section="Power", description="b", minutes=60, labour_class=pricing.STANDARD_LABOUR
        ),
    ]
    assert [line.amount_cents for line in price(items_, terms).lines[2:]] == [10_000, 14_500]


def test_no_units_cannot_be_priced():
    with pytest.raises(ValueError, match="1 or more"):
        replace(van.TERMS, units=0)
