"""The Boolean shape of a decision: AND, OR and NOT over numbered conditions."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.controls.tables import column


@dataclass(frozen=True, kw_only=True, slots=True)
class Leaf:
    """The condition with this number. Every place at which a condition stands is its own leaf."""

    number: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Fixed:
    """A part that does not change."""

    value: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Opposite:
    part: "Shape"


@dataclass(frozen=True, kw_only=True, slots=True)
class Joined:
    """All parts, or with `any_of` at least one."""

    parts: "tuple[Shape, ...]"
    any_of: bool = False


Shape = Leaf | Fixed | Opposite | Joined


def all_of(*parts: Shape) -> Shape:
    return Joined(parts=parts)


def any_of(*parts: Shape) -> Shape:
    return Joined(parts=parts, any_of=True)


def holds(shape: Shape, row: int) -> bool:
    """The outcome in one row; bit i of the row is the value of condition i."""
    match shape:
        case Leaf(number=number):
            return bool(row >> number & 1)
        case Fixed(value=value):
            return value
        case Opposite(part=part):
            return not holds(part, row)
        case Joined(parts=parts, any_of=True):
            return any(holds(part, row) for part in parts)
        case Joined(parts=parts):
            return all(holds(part, row) for part in parts)


def table(shape: Shape, count: int) -> int:
    """The outcome in every row at once, as in tables.py."""
    everything = (1 << (1 << count)) - 1
    match shape:
        case Leaf(number=number):
            return column(number, count)
        case Fixed(value=value):
            return everything if value else 0
        case Opposite(part=part):
            return everything ^ table(part, count)
        case Joined(parts=parts, any_of=is_or):
            return _folded([table(part, count) for part in parts], is_or, everything)


def _folded(tables: Sequence[int], is_or: bool, everything: int) -> int:
    value = 0 if is_or else everything
    for each in tables:
        value = value | each if is_or else value & each
    return value


def leaves(shape: Shape) -> list[int]:
    """The numbers of the conditions, from left to right."""
    match shape:
        case Leaf(number=number):
            return [number]
        case Opposite(part=part):
            return leaves(part)
        case Joined(parts=parts):
            return [number for part in parts for number in leaves(part)]
        case _:
            return []


def simplified(shape: Shape) -> Shape:
    """The same decision without fixed parts inside."""
    match shape:
        case Opposite(part=part):
            inner = simplified(part)
            return (
                Fixed(value=not inner.value) if isinstance(inner, Fixed) else Opposite(part=inner)
            )
        case Joined(parts=parts, any_of=is_or):
            kept = []
            for part in (simplified(each) for each in parts):
                if not isinstance(part, Fixed):
                    kept.append(part)
                elif part.value == is_or:
                    return part
            if not kept:
                return Fixed(value=not is_or)
            return kept[0] if len(kept) == 1 else Joined(parts=tuple(kept), any_of=is_or)
        case _:
            return shape
