"""Prices of quotes and change orders. Integer cents and Decimal only.

Rounding: each line is rounded once to the cent; half a cent goes up, away from zero, so that taking
a part out gives back exactly what putting it in cost. The total is the sum of the rounded lines.

    part      quantity x list x (1 - contract discount)
    labour    minutes / 60 x rate of its class, one line per class
    one-off   minutes / 60 x its own rate
    supplies  share of the net parts, one line
    option    part + labour + supplies of the option, each rounded; outside the total unless chosen
    tax       share of each taxable line, rounded line by line, shown as one line
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

WHOLE_BP = 10_000
STANDARD_LABOUR = "Installation labour"


class Kind(StrEnum):
    PART = "part"
    LABOUR = "labour"
    ONE_OFF = "one_off"
    SUPPLIES = "supplies"
    FREIGHT = "freight"
    SUBLET = "sublet"
    TAX = "tax"
    OPTION = "option"


COMPUTED = frozenset({Kind.LABOUR, Kind.SUPPLIES, Kind.TAX})
# What the contract discount is given on.
GOODS = frozenset({Kind.PART, Kind.OPTION})


@dataclass(frozen=True, kw_only=True, slots=True)
class PricedInput:
    """One thing to be priced, as the build sheet or the office gives it.

    unit_cents   list price of one piece; for one-off work the rate of one hour
    minutes      hours of the whole line, all pieces together
    discountable False for what the contract excludes from its discount
    firm         an option with an agreed price: no discount, labour or supplies on top
    chosen       an option that the customer has taken: it counts in the total
    cost_cents   what one piece costs the shop; internal, never printed
    """

    kind: Kind = Kind.PART
    section: str
    description: str
    ref: str = ""
    code: str = ""
    quantity: Decimal = Decimal(1)
    unit_cents: int = 0
    minutes: int = 0
    labour_class: str = STANDARD_LABOUR
    discountable: bool = True
    taxable: bool = True
    firm: bool = False
    chosen: bool = False
    cost_cents: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class LabourRate:
    labour_class: str
    cents_per_hour: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What all lines share. An exempt quote has tax_bp 0."""

    rates: tuple[LabourRate, ...]
    discount_bp: int = 0
    supplies_bp: int = 0
    tax_bp: int = 0
    labour_taxable: bool = True

    def __post_init__(self) -> None:
        if not 0 <= self.discount_bp <= WHOLE_BP:
            raise ValueError(f"Discount is {self.discount_bp} bp; it must be 0 to {WHOLE_BP}.")

    def cents_per_hour(self, labour_class: str) -> int:
        for rate in self.rates:
            if rate.labour_class == labour_class:
                return rate.cents_per_hour
        raise ValueError(f"There is no rate for the labour class {labour_class!r}.")


def standard_rates(cents_per_hour: int) -> tuple[LabourRate, ...]:
    return (LabourRate(labour_class=STANDARD_LABOUR, cents_per_hour=cents_per_hour),)


@dataclass(frozen=True, kw_only=True, slots=True)
class PricedLine:
    """A thing with its price. `tax_cents` is its part of the tax line."""

    item: PricedInput
    discount_bp: int = 0
    amount_cents: int
    tax_cents: int = 0

    @property
    def counts(self) -> bool:
        """Whether the line is part of the total."""
        return self.item.kind != Kind.OPTION or self.item.chosen


@dataclass(frozen=True, kw_only=True, slots=True)
class Price:
    """All lines: first those given, in their order, then labour, supplies and tax."""

    lines: tuple[PricedLine, ...]

    @property
    def total_cents(self) -> int:
        return sum(line.amount_cents for line in self.lines if line.counts)


def half_up(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def share(cents: int, basis_points: int) -> int:
    """So many basis points of an amount, rounded to the cent.

    >>> share(4_264_962, 300)
    127949
    """
    return half_up(Decimal(cents) * basis_points / WHOLE_BP)


def goods_cents(*, quantity: Decimal, unit_cents: int, discount_bp: int = 0) -> int:
    """Net price of a quantity of parts = quantity * list * (1 - discount), rounded once.

    >>> goods_cents(quantity=Decimal(2), unit_cents=4800, discount_bp=2200)
    7488
    """
    return half_up(quantity * unit_cents * (WHOLE_BP - discount_bp) / WHOLE_BP)


def labour_cents(*, minutes: int, cents_per_hour: int) -> int:
    """Price of working time = minutes / 60 * rate, rounded once.

    >>> labour_cents(minutes=14_508, cents_per_hour=11_800)
    2853240
    """
    return half_up(Decimal(minutes) * cents_per_hour / 60)


def percent(basis_points: int) -> str:
    """2200 -> '22 %', 825 -> '8.25 %'."""
    return f"{Decimal(basis_points) / 100:.2f}".rstrip("0").rstrip(".") + " %"


def price(items: Sequence[PricedInput], terms: Terms) -> Price:
    """Price a quote. Only an option may take something out, so only options may be negative."""
    for item in items:
        if item.kind != Kind.OPTION and (item.quantity < 0 or item.minutes < 0):
            raise ValueError(f"{item.description}: a negative quantity belongs in an option.")
    return _priced(items, terms)


def change_price(items: Sequence[PricedInput], terms: Terms) -> Price:
    """Price a change order by the same rules. Its lines are signed and it has no options."""
    if any(item.kind == Kind.OPTION for item in items):
        raise ValueError("A change order has no options.")
    return _priced(items, terms)


def _priced(items: Sequence[PricedInput], terms: Terms) -> Price:
    if any(item.kind in COMPUTED for item in items):
        raise ValueError("Labour, supplies and tax are computed; they cannot be given.")
    given = [_given(item, terms) for item in items]
    lines = [*given, *_labour(items, terms), *_supplies(given, terms)]
    return Price(lines=(*lines, *_tax(lines)))


def _line(
    item: PricedInput,
    amount_cents: int,
    terms: Terms,
    *,
    discount_bp: int = 0,
    untaxed_cents: int = 0,
) -> PricedLine:
    tax = share(amount_cents - untaxed_cents, terms.tax_bp) if item.taxable else 0
    return PricedLine(item=item, discount_bp=discount_bp, amount_cents=amount_cents, tax_cents=tax)


def _given(item: PricedInput, terms: Terms) -> PricedLine:
    if item.kind == Kind.ONE_OFF:
        work = labour_cents(minutes=item.minutes, cents_per_hour=item.unit_cents)
        return _line(item, work, terms)
    discounted = item.kind in GOODS and item.discountable and not item.firm
    off = terms.discount_bp if discounted else 0
    net = goods_cents(quantity=item.quantity, unit_cents=item.unit_cents, discount_bp=off)
    if item.kind != Kind.OPTION or item.firm:
        return _line(item, net, terms, discount_bp=off)
    rate = terms.cents_per_hour(item.labour_class)
    work = labour_cents(minutes=item.minutes, cents_per_hour=rate)
    amount = net + work + share(net, terms.supplies_bp)
    untaxed = 0 if terms.labour_taxable else work
    return _line(item, amount, terms, discount_bp=off, untaxed_cents=untaxed)


def _labour(items: Sequence[PricedInput], terms: Terms) -> Iterator[PricedLine]:
    """One line for each class of labour that the parts use, in the order of the rates."""
    parts = [item for item in items if item.kind == Kind.PART and item.minutes]
    for item in parts:
        terms.cents_per_hour(item.labour_class)  # hours without a rate are an error, not free
    for rate in terms.rates:
        minutes = sum(item.minutes for item in parts if item.labour_class == rate.labour_class)
        if minutes:
            item = PricedInput(
                kind=Kind.LABOUR,
                section="Labour",
                description=rate.labour_class,
                unit_cents=rate.cents_per_hour,
                minutes=minutes,
                labour_class=rate.labour_class,
                taxable=terms.labour_taxable,
            )
            yield _line(item, labour_cents(minutes=minutes, cents_per_hour=item.unit_cents), terms)


def _supplies(given: Sequence[PricedLine], terms: Terms) -> Iterator[PricedLine]:
    net = sum(line.amount_cents for line in given if line.item.kind == Kind.PART)
    amount = share(net, terms.supplies_bp)
    if amount:
        item = PricedInput(
            kind=Kind.SUPPLIES,
            section="Shop supplies",
            description=f"Shop supplies, {percent(terms.supplies_bp)} of net parts",
        )
        yield _line(item, amount, terms)


def _tax(lines: Sequence[PricedLine]) -> Iterator[PricedLine]:
    amount = sum(line.tax_cents for line in lines if line.counts)
    if amount:
        words = "Tax on the taxable lines"
        item = PricedInput(kind=Kind.TAX, section="Tax", description=words, taxable=False)
        yield PricedLine(item=item, amount_cents=amount)
