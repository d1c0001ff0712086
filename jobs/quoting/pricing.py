"""Prices of quotes and change orders. Integer cents and Decimal only.

Rounding: each line is rounded once to the cent; half a cent goes up, away from zero, so that taking
a part out gives back exactly what putting it in cost. The total is the sum of the rounded lines.

    part      quantity x list x (1 - contract discount)
    labour    minutes / 60 x rate of its class, one line per class
    one-off   minutes / 60 x its own rate
    supplies  share of the net parts, one line
    repeat    units 2 to n: goods as for the first, hours x repeat factor
    fee       share of all that but freight, one line; a contract's administration fee
    option    part + labour + supplies + fee of the option, each rounded; outside the total unless
              chosen
    tax       share of each taxable line, rounded line by line, shown as one line
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from jobs.quoting.money import (
    COMPUTED,
    EACH_UNIT,
    GOODS,
    STANDARD_LABOUR,
    WHOLE_BP,
    WITHOUT_FEE,
    Kind,
    LabourRate,
    Price,
    PricedInput,
    PricedLine,
    Terms,
    goods_cents,
    half_up,
    labour_cents,
    percent,
    share,
    standard_rates,
)

__all__ = [
    "COMPUTED",
    "EACH_UNIT",
    "GOODS",
    "STANDARD_LABOUR",
    "WHOLE_BP",
    "Kind",
    "LabourRate",
    "Price",
    "PricedInput",
    "PricedLine",
    "Terms",
    "change_price",
    "goods_cents",
    "half_up",
    "labour_cents",
    "percent",
    "price",
    "share",
    "standard_rates",
]


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
    lines += _repeats(lines, terms)
    lines += _fee(lines, terms)
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
    discounted = discounted and item.section not in terms.excluded
    off = terms.discount_bp if discounted else 0
    net = goods_cents(quantity=item.quantity, unit_cents=item.unit_cents, discount_bp=off)
    if item.kind != Kind.OPTION or item.firm:
        return _line(item, net, terms, discount_bp=off)
    rate = terms.cents_per_hour(terms.class_of(item))
    work = labour_cents(minutes=item.minutes, cents_per_hour=rate)
    amount = net + work + share(net, terms.supplies_bp)
    amount += share(amount, terms.fee_bp)
    untaxed = 0 if terms.labour_taxable else work
    return _line(item, amount, terms, discount_bp=off, untaxed_cents=untaxed)


def _labour(items: Sequence[PricedInput], terms: Terms) -> Iterator[PricedLine]:
    """One line for each class of labour that the parts use, in the order of the rates."""
    parts = [item for item in items if item.kind == Kind.PART and item.minutes]
    for item in parts:
        terms.cents_per_hour(terms.class_of(item))  # hours without a rate are an error, not free
    for rate in terms.rates:
        mine = (item for item in parts if terms.class_of(item) == rate.labour_class)
        minutes = sum(item.minutes for item in mine)
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


def _repeats(lines: Sequence[PricedLine], terms: Terms) -> Iterator[PricedLine]:
    """Units 2 to n: goods as for the first, hours at the repeat factor, one line a class."""
    more = terms.units - 1
    if not more:
        return
    which = "Unit 2" if more == 1 else f"Units 2 to {terms.units}"
    each = [line for line in lines if line.item.kind in EACH_UNIT]
    goods = sum(line.amount_cents for line in each)
    if goods:
        item = PricedInput(
            kind=Kind.REPEAT,
            section="Further units",
            code="goods",
            description=f"{which}: parts, supplies and sublet work as for the first",
            quantity=Decimal(more),
            unit_cents=goods,
        )
        untaxed = more * sum(line.amount_cents for line in each if not line.item.taxable)
        yield _line(item, more * goods, terms, untaxed_cents=untaxed)
    for line in lines:
        if line.item.kind == Kind.LABOUR:
            minutes = more * share(line.item.minutes, terms.repeat_bp)
            item = replace(
                line.item,
                kind=Kind.REPEAT,
                section="Further units",
                code=line.item.labour_class,
                description=f"{which}: {line.item.description}, {percent(terms.repeat_bp)} each",
                minutes=minutes,
            )
            rate = item.unit_cents
            yield _line(item, labour_cents(minutes=minutes, cents_per_hour=rate), terms)


def _fee(lines: Sequence[PricedLine], terms: Terms) -> Iterator[PricedLine]:
    """The contract's administration fee; an option carries its own."""
    base = sum(line.amount_cents for line in lines if line.item.kind not in WITHOUT_FEE)
    if amount := share(base, terms.fee_bp):
        words = f"Contract administration fee, {percent(terms.fee_bp)} before freight and tax"
        yield _line(
            PricedInput(kind=Kind.FEE, section="Contract", description=words), amount, terms
        )


def _tax(lines: Sequence[PricedLine]) -> Iterator[PricedLine]:
    amount = sum(line.tax_cents for line in lines if line.counts)
    if amount:
        words = "Tax on the taxable lines"
        item = PricedInput(kind=Kind.TAX, section="Tax", description=words, taxable=False)
        yield PricedLine(item=item, amount_cents=amount)
