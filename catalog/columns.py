"""The one table of what a sheet of parts may hold.

It drives the template, the import, the export, the forms and the page that explains them. Units
stand in the column names. One part may take several rows: its facts stand on the first one, every
further row of the same code adds a row of the current table, a limit, or both.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import partial
from typing import Any

from django import forms

from catalog import fields
from catalog.models import (
    CheckGroup,
    LoadModel,
    Ownership,
    PartKind,
    PartRevision,
    RatingLimit,
)
from catalog.protection import CONDUCTOR_SIZES, DeviceKind
from catalog.quantities import AMPERE, DOLLAR, HOUR, MILLIAMPERE, POUND, VOLT, QuantityField


class Of(StrEnum):
    """What a column tells about."""

    PART = "The part itself"
    FACT = "Datasheet"
    DRAW = "Current table"
    LIMIT = "Rating limits"


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """One column: its heading in a sheet, the model field it fills, the field that reads it."""

    of: Of
    name: str
    field: str
    read: Any
    note: str
    examples: tuple[str, ...]
    label: str
    # The label without its unit, for headings over values that carry theirs.
    words: str

    @property
    def example(self) -> str:
        return next((cell for cell in self.examples if cell), "")

    @property
    def choices(self) -> list[str]:
        """The words that a sheet may hold here; empty when anything goes."""
        return [word for word, _ in getattr(self.read, "choices", ()) if word]

    def clean(self, text: str) -> Any:
        return self.read.clean(text)

    def write(self, value: Any) -> str:
        return str(self.read.write(value))

    def show(self, value: Any) -> str:
        return str(self.read.show(value))

    def cell(self, value: Any) -> str | Decimal:
        """What a sheet holds: a number where people calculate with it, else text."""
        text = self.write(value)
        return Decimal(text) if text and self.is_figure else text

    @property
    def is_figure(self) -> bool:
        return isinstance(self.read, QuantityField | fields.WholeField)


def _column(of: Of, name: str, field: str, read: Any, examples: str, note: str = "") -> Column:
    """`examples` are the cells of the template's example rows, one after the other."""
    label = str(read.label)
    return Column(
        of=of,
        name=name,
        field=field,
        read=read,
        note=note,
        examples=tuple(cell.strip() for cell in examples.split("|")),
        label=label,
        words=label.partition(" (")[0],
    )


_part, _fact, _draw, _limit = (partial(_column, of) for of in Of)
_optional = {"required": False}
_words = partial(fields.WordField, **_optional)
_yes_no = partial(fields.YesNoField, **_optional)
_dollars = partial(QuantityField, DOLLAR, most=1_000_000)
_volts = partial(QuantityField, VOLT, most=1_000, **_optional)
_amps = partial(QuantityField, AMPERE, most=2_000, **_optional)
_whole = partial(fields.WholeField, **_optional)
_text = partial(fields.TextField, **_optional)
_long = forms.Textarea(attrs={"rows": 3})
_choose = [("", "Choose")]
_sizes = [(size, f"{size} AWG") for size in CONDUCTOR_SIZES]
_drop_classes = PartRevision._meta.get_field("drop_class").choices

COLUMNS = (
    _part("code", "code", fields.CodeField(label="Code", most=40),
          "EX-BAR | EX-BAR | EX-NODE | EX-NODE",
          "The shop's own code; it stays for ever. Small letters become capitals."),
    _part("kind", "kind", fields.WordField(label="Kind", choices=_choose + PartKind.choices),
          "warning | | control |", "A new part needs it."),
    _part("retired", "retired", _yes_no(label="Retired"),
          "no | | no |", "A retired part stays in old jobs and is not offered for new ones."),
    _fact("description", "description", fields.TextField(label="Description", most=200),
          "Example roof bar, two colours | | Example output module |", "A new part needs it."),
    _fact("ownership", "ownership",
          _words(label="Who supplies it", choices=Ownership.choices, initial=Ownership.SHOP),
          "shop | | shop |", "Empty means shop."),
    _fact("list_usd", "list_price_cents", _dollars(label="List price"),
          "1250 | | 780 |", "A new part needs it; 0 for what the agency furnishes."),
    _fact("cost_usd", "cost_cents", _dollars(label="Cost", **_optional),
          "940 | | 610 |", "What the shop pays. Stays inside the shop."),
    _fact("price_date", "price_date", fields.DayField(label="Prices as of", **_optional),
          "2026-03-02 | | 2026-03-02 |"),
    _fact("lead_days", "lead_days", _whole(label="Lead time (days)", most=1_000, unit="days"),
          "21 | | 28 |", "Calendar days from order to arrival."),
    _fact("hours", "labour_minutes", QuantityField(HOUR, label="Fitting time", most=1_000),
          "6 | | 4.5 |", "Hours to fit one piece. A new part needs it."),
    _fact("weight_lb", "mass_g", QuantityField(POUND, label="Weight", most=20_000, **_optional),
          "31 | | 2.4 |", "One piece. Empty means not known, not weightless."),
    _fact("supply_min_v", "supply_min_mv", _volts(label="Least supply voltage"),
          "10.5 | | 9 |", "At the part's own terminals."),
    _fact("supply_max_v", "supply_max_mv", _volts(label="Greatest supply voltage"),
          "16 | | 16 |"),
    _fact("drop_class", "drop_class",
          _words(label="Voltage drop class", choices=_drop_classes, initial="general"),
          "general | | sensitive |", "Empty means general."),
    _fact("serial_tracked", "serial_tracked", _yes_no(label="Serial numbers are recorded"),
          "yes | | yes |"),
    _fact("warranty_months", "warranty_months",
          _whole(label="Warranty (months)", most=600, unit="months"), "24 | | 36 |"),
    _fact("checks", "check_group",
          _words(label="Checks asked for", choices=CheckGroup.choices, initial=""),
          "warning | | |", "Which usual checks the part asks for on a finished unit."),
    _fact("protects_as", "device_kind",
          _words(label="Protects as", choices=DeviceKind.choices, initial=""),
          " | | |", "For fuses and breakers; the rating is a limit of the part."),
    _fact("wire_awg", "conductor_awg",
          _words(label="Wire of size", choices=_sizes, initial=""),
          " | | |", "For wire by the foot: price and weight are those of one foot."),
    _fact("datasheet", "datasheet", _text(label="Datasheet", most=200),
          "Sheet 114, issue 3 | | Sheet 120, issue 1 |", "Where the ratings come from."),
    _fact("note", "note", _text(label="Note", most=2_000, widget=_long), " | | |"),
    _draw("function", "function", fields.NameField(label="Function", most=40),
          "on | on | on |", "What the part does while it draws this: on, low, motor ..."),
    _draw("colour", "colour", fields.NameField(label="Colour", most=20, **_optional),
          "red | white | |", "One row a colour. Empty for parts without colours."),
    _draw("load_model", "load_model",
          _words(label="Load model", choices=LoadModel.choices, initial=LoadModel.CURRENT),
          "current | current | power |",
          "power for switching supplies and inverters, resistance for heaters. Empty: current."),
    _draw("average_a", "average_ma", _amps(label="Average"),
          "9.5 | 8.8 | 0.3 |", "Over a whole flash pattern."),
    _draw("peak_a", "peak_ma", _amps(label="Peak"),
          "19 | 17.6 | 0.3 |", "Highest instant of the pattern; protection is sized by it."),
    _draw("standby_ma", "standby_ua",
          QuantityField(MILLIAMPERE, label="Standby", most=100_000, **_optional),
          " | | 3 |", "Drawn while switched off or asleep."),
    _draw("inrush_a", "inrush_ma", _amps(label="Inrush", most=20_000),
          " | | |", "At the moment of switching on."),
    _draw("inrush_ms", "inrush_ms", _whole(label="Inrush lasts (ms)", most=60_000, unit="ms"),
          " | | |"),
    _limit("limit_of", "what",
           fields.WordField(label="Limit of", choices=_choose + RatingLimit.What.choices),
           " | | channel | module", "What may not carry more than limit_a."),
    _limit("limit_label", "label", _text(label="Which", most=40),
           " | | 1 to 4 |", "For example 1 to 4, for channels 1 to 4."),
    _limit("limit_a", "limit_ma", QuantityField(AMPERE, label="Limit", most=10_000),
           " | | 25 | 80"),
    _limit("limit_count", "count", _whole(label="How many", most=1_000, least=1, initial=1),
           " | | 4 | 1", "Empty means 1."),
)  # fmt: skip

# Suggestions on the page; a shop may use its own words.
COLOURS = ("red", "blue", "amber", "white", "green")
FUNCTIONS = ("on", "low", "flash", "motor", "transmit", "receive", "asleep")

BY_NAME = {column.name: column for column in COLUMNS}
EXAMPLE_ROWS = len(COLUMNS[0].examples)


def columns_of(*groups: Of) -> tuple[Column, ...]:
    return tuple(column for column in COLUMNS if column.of in groups)


# What a datasheet says about the part as a whole. Code and retirement are not part of it.
FACTS = tuple(c for c in columns_of(Of.PART, Of.FACT) if c.name not in ("code", "retired"))
DRAWS = columns_of(Of.DRAW)
LIMITS = columns_of(Of.LIMIT)
# What tells two rows of one table apart.
DRAW_KEY = ("function", "colour")
LIMIT_KEY = ("what", "label")
