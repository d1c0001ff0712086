"""Small sets of rows that show that every condition decides the outcome on its own (MC/DC).

Form: unique cause where it exists. A pair of rows shows a condition when the rows differ in that
condition only and in the outcome. Conditions tied to others (one gear lever, one speed) may have no
such pair; they are shown by masking: two rows with different outcomes, in each of which the
condition decides whatever the others do. A condition that stands at several places of which none
decides alone is shown at all its places together. Where nothing helps, the condition is reported.

A decision in which every condition can be set freely needs exactly one row more than it has
conditions, and gets no more.
"""

from dataclasses import dataclass
from enum import StrEnum

from jobs.controls.circuit import bits
from jobs.controls.decision import Fixed, Leaf, Opposite, Shape, holds, table
from jobs.controls.tables import changed, column, lowest

MAX_STARTS = 24


class Form(StrEnum):
    UNIQUE_CAUSE = "unique cause"
    MASKING = "masking"
    TOGETHER = "all its places together"
    NOT_POSSIBLE = "not possible"


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """How one condition is shown: the rows in which it is true and false."""

    condition: int
    form: Form
    true_row: int = -1
    false_row: int = -1


@dataclass(frozen=True, kw_only=True, slots=True)
class Cover:
    """Rows as numbers, bit i being condition i, and what they show."""

    rows: tuple[int, ...]
    shown: tuple[Shown, ...]

    @property
    def form(self) -> Form:
        """The weakest form that was needed."""
        order = list(Form)
        return max((each.form for each in self.shown), key=order.index, default=order[0])


def cover(
    shape: Shape,
    count: int,
    *,
    legal: int | None = None,
    same: tuple[tuple[int, ...], ...] = (),
) -> Cover:
    """A small set of rows for a decision with so many conditions.

    `legal` is the table of the rows that can be brought about; all of them when it is left out, as
    it must be for more than MAX_VARIABLES conditions. `same` names places at which one and the
    same condition stands.
    """
    if isinstance(shape, Fixed) or not count:
        return Cover(rows=(), shown=())
    rows = _spanning(shape).rows
    if legal is None or all(legal >> row & 1 for row in rows):
        return judged(shape, count, rows)
    return _searched(shape, count, legal, {each: places for places in same for each in places})


@dataclass(frozen=True, kw_only=True, slots=True)
class _Span:
    """Rows of one part, with one among them that makes it true and one that makes it false."""

    rows: tuple[int, ...]
    true: int
    false: int


def _spanning(shape: Shape) -> _Span:
    """One row more than conditions, for a decision in which each condition stands once.

    Two parts joined by AND: the rows of each part stand beside a row that makes the other true, so
    that the part alone decides, and every pair inside a part stays a pair. The row in which both
    are true is shared. OR is the same with false rows.
    """
    match shape:
        case Leaf(number=number):
            return _Span(rows=(0, 1 << number), true=1 << number, false=0)
        case Opposite(part=part):
            inner = _spanning(part)
            return _Span(rows=inner.rows, true=inner.false, false=inner.true)
        case Fixed():
            raise ValueError("A fixed part shows nothing.")
    spans = [_spanning(part) for part in shape.parts]
    neutral = [span.false if shape.any_of else span.true for span in spans]
    whole = sum(neutral)
    rows = {whole: None}
    deciding = whole
    for span, own in zip(spans, neutral, strict=True):
        rows |= dict.fromkeys(whole - own + row for row in span.rows)
        deciding = whole - own + (span.true if shape.any_of else span.false)
    if shape.any_of:
        return _Span(rows=tuple(rows), true=deciding, false=whole)
    return _Span(rows=tuple(rows), true=whole, false=deciding)


def judged(shape: Shape, count: int, rows: tuple[int, ...]) -> Cover:
    """What the rows show, each condition by the first pair that shows it."""
    outcome = {row: holds(shape, row) for row in rows}
    shown = []
    for condition in range(count):
        bit = 1 << condition
        pair = next(
            (row for row in rows if row & bit and outcome.get(row ^ bit) == (not outcome[row])),
            None,
        )
        if pair is None:
            shown.append(Shown(condition=condition, form=Form.NOT_POSSIBLE))
        else:
            shown.append(_by(condition, Form.UNIQUE_CAUSE, pair, pair ^ bit))
    return Cover(rows=rows, shown=tuple(shown))


def _by(condition: int, form: Form, true_row: int, false_row: int) -> Shown:
    return Shown(condition=condition, form=form, true_row=true_row, false_row=false_row)


def _searched(shape: Shape, count: int, legal: int, places: dict[int, tuple[int, ...]]) -> Cover:
    """Look for few rows among the legal ones."""
    outcome = table(shape, count)
    decides = [outcome ^ _flipped(outcome, (condition,), count) for condition in range(count)]
    pairs = [legal & _flipped(legal, (each,), count) & decides[each] for each in range(count)]
    chosen = _grown(pairs, count)
    shown = []
    for condition in range(count):
        ones = column(condition, count)
        together = places.get(condition, (condition,))
        able = legal & decides[condition]
        jointly = legal & _flipped(legal, together, count)
        jointly &= outcome ^ _flipped(outcome, together, count)
        if pairs[condition]:
            row = _paired(chosen, pairs[condition], condition)
            shown.append(_by(condition, Form.UNIQUE_CAUSE, row, row ^ 1 << condition))
        elif able & ones and able & ~ones:
            true, false = _pick(chosen, able & ones), _pick(chosen, able & ~ones)
            shown.append(_by(condition, Form.MASKING, true, false))
        elif jointly:
            true = _pick(chosen, jointly & ones)
            false = true ^ sum(1 << each for each in together)
            shown.append(_by(condition, Form.TOGETHER, true, false))
        else:
            shown.append(Shown(condition=condition, form=Form.NOT_POSSIBLE))
            continue
        chosen |= {shown[-1].true_row: None, shown[-1].false_row: None}
    return Cover(rows=tuple(chosen), shown=tuple(shown))


def _paired(chosen: dict[int, None], pairs: int, condition: int) -> int:
    """The chosen row in which the condition is true and whose partner is chosen too."""
    bit = 1 << condition
    return next(row for row in chosen if row & bit and row ^ bit in chosen and pairs >> row & 1)


def _flipped(rows: int, conditions: tuple[int, ...], count: int) -> int:
    """The table read with some conditions turned over."""
    for condition in conditions:
        rows = changed(rows, condition, count)
    return rows


def _pick(chosen: dict[int, None], able: int) -> int:
    """A row that is chosen anyway, or the first that will do."""
    return next((row for row in chosen if able >> row & 1), lowest(able))


def _grown(pairs: list[int], count: int) -> dict[int, None]:
    """Rows that hold a pair for every condition that has one; the best of several beginnings."""
    wanted = [condition for condition in range(count) if pairs[condition]]
    if not wanted:
        return {}
    growth = _Growth(pairs, wanted)
    best: dict[int, None] = {}
    for start in growth.starts():
        chosen = growth.grown(start)
        if not best or len(chosen) < len(best):
            best = chosen
        if len(best) == len(wanted) + 1:
            break
    return best


class _Growth:
    """Pairs as tables of rows, and for each row the conditions it is a pair's half for."""

    def __init__(self, pairs: list[int], wanted: list[int]) -> None:
        self.pairs = pairs
        self.wanted = wanted
        self._serves: dict[int, int] = {}

    def serves(self, row: int) -> int:
        """The wanted conditions for which this row and its partner are a pair, as a mask."""
        mask = self._serves.get(row)
        if mask is None:
            mask = sum(1 << each for each in self.wanted if self.pairs[each] >> row & 1)
            self._serves[row] = mask
        return mask

    def starts(self) -> list[int]:
        """Rows of the condition with the fewest pairs, those that serve most conditions first."""
        rarest = min(self.wanted, key=lambda each: self.pairs[each].bit_count())
        rows = bits(self.pairs[rarest])[: MAX_STARTS * 8]
        rows.sort(key=lambda row: -self.serves(row).bit_count())
        return rows[:MAX_STARTS]

    def grown(self, start: int) -> dict[int, None]:
        """Grow from one row: always add the row that completes a pair and serves most others."""
        chosen = {start: None}
        missing = sum(1 << each for each in self.wanted)
        while missing:
            row = self._next(chosen, missing)
            chosen[row] = None
            for each in bits(self.serves(row) & missing):
                if row ^ 1 << each in chosen:
                    missing ^= 1 << each
        return chosen

    def _next(self, chosen: dict[int, None], missing: int) -> int:
        """The best partner of a chosen row, or a row to begin anew with."""
        partners = (row ^ 1 << each for row in chosen for each in bits(self.serves(row) & missing))
        best = max(partners, key=lambda row: (self.serves(row) & missing).bit_count(), default=None)
        return lowest(self.pairs[bits(missing)[0]]) if best is None else best
