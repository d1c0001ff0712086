"""What a price is made of, and how it is rounded. Integer cents and Decimal only."""

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
    REPEAT = "repeat"
    FEE = "fee"
    TAX = "tax"
    OPTION = "option"


COMPUTED = frozenset({Kind.LABOUR, Kind.SUPPLIES, Kind.REPEAT, Kind.FEE, Kind.TAX})
# What the contract's fee is not taken on; an option has its own inside.
WITHOUT_FEE = frozenset({Kind.FREIGHT, Kind.OPTION, Kind.TAX})
# What the contract discount is given on.
GOODS = frozenset({Kind.PART, Kind.OPTION})
# What every unit of a job needs; the rest is done or sent once.
EACH_UNIT = frozenset({Kind.PART, Kind.SUPPLIES, Kind.SUBLET})


@dataclass(frozen=True, kw_only=True, slots=True)
class PricedInput:
    """One thing to be priced, as the build sheet or the office gives it.

    unit_cents   list price of one piece; for one-off work the rate of one hour
    minutes      hours of the whole line, all pieces together
    labour_class empty for that of its section
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
    labour_class: str = ""
    discountable: bool = True
    taxable: bool = True
    firm: bool = False
    chosen: bool = False
    cost_cents: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class LabourRate:
    """`sections` names those whose work is of this class."""

    labour_class: str
    cents_per_hour: int
    sections: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What all lines share. An exempt quote has tax_bp 0.

    excluded   sections that the contract gives no discount on
    units      how many vehicles are priced; freight, one-off work and options count once
    repeat_bp  hours of each further unit as a share of those of the first
    fee_bp     what the contract's holder gets, as a share of everything but freight and tax
    """

    rates: tuple[LabourRate, ...]
    discount_bp: int = 0
    excluded: frozenset[str] = frozenset()
    units: int = 1
    repeat_bp: int = WHOLE_BP
    fee_bp: int = 0
    supplies_bp: int = 0
    tax_bp: int = 0
    labour_taxable: bool = True

    def __post_init__(self) -> None:
        if not 0 <= self.discount_bp <= WHOLE_BP:
            raise ValueError(f"Discount is {self.discount_bp} bp; it must be 0 to {WHOLE_BP}.")
        if self.units < 1:
            raise ValueError(f"{self.units} units cannot be priced; it must be 1 or more.")

    def cents_per_hour(self, labour_class: str) -> int:
        for rate in self.rates:
            if rate.labour_class == labour_class:
                return rate.cents_per_hour
        raise ValueError(f"There is no rate for the labour class {labour_class!r}.")

    def class_of(self, item: PricedInput) -> str:
        """The class an item's hours are charged at: its own, else its section's."""
        if item.labour_class:
            return item.labour_class
        named = (rate for rate in self.rates if item.section in rate.sections)
        return next((rate.labour_class for rate in named), STANDARD_LABOUR)


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
