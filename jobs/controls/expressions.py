"""What a Boolean expression over signals is made of, and how it reads."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum


class Relation(StrEnum):
    """How a position or a measured value is compared."""

    IS = "is"
    AT_LEAST = "at least"
    BELOW = "below"


@dataclass(frozen=True, kw_only=True, slots=True)
class Named:
    """A two-state signal, a term or an output, true when it is on."""

    name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Compare:
    """A position or measured signal against one of its positions or thresholds."""

    name: str
    relation: Relation
    operand: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """True while the signal's value is known."""

    name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Edge:
    """True only at the moment a two-state signal comes on (pressed) or goes off (released)."""

    name: str
    rising: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Not:
    inner: "Expression"


@dataclass(frozen=True, kw_only=True, slots=True)
class AllOf:
    parts: "tuple[Expression, ...]"


@dataclass(frozen=True, kw_only=True, slots=True)
class AnyOf:
    parts: "tuple[Expression, ...]"


Condition = Named | Compare | Known | Edge
Expression = Condition | Not | AllOf | AnyOf


def conditions(expression: Expression) -> Iterator[Condition]:
    """Every condition, once for each place it stands at, from left to right."""
    if isinstance(expression, Not):
        yield from conditions(expression.inner)
    elif isinstance(expression, AllOf | AnyOf):
        for part in expression.parts:
            yield from conditions(part)
    else:
        yield expression


def names(expression: Expression) -> frozenset[str]:
    return frozenset(condition.name for condition in conditions(expression))


def text(expression: Expression) -> str:
    """The expression as it is typed, with no more parentheses than needed."""
    match expression:
        case Named(name=name):
            return name
        case Compare(name=name, relation=relation, operand=operand):
            return f"{name} {relation} {operand}"
        case Known(name=name):
            return f"{name} is known"
        case Edge(name=name, rising=rising):
            return f"{name} {'pressed' if rising else 'released'}"
        case Not():
            return _negation(expression)
        case AllOf(parts=parts):
            return " AND ".join(_inside(part, AnyOf) for part in parts)
        case AnyOf(parts=parts):
            return " OR ".join(text(part) for part in parts)


def _negation(expression: Not) -> str:
    match expression.inner:
        case Known(name=name):
            return f"{name} is unknown"
        case Compare(name=name, relation=Relation.IS, operand=operand):
            return f"{name} is not {operand}"
        case inner:
            return f"NOT {_inside(inner, AllOf | AnyOf)}"


def _inside(part: Expression, weaker: object) -> str:
    return f"({text(part)})" if isinstance(part, weaker) else text(part)  # type: ignore[arg-type]
