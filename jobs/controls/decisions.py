"""Each output as one decision over conditions, ready for test rows.

Rules that drive one output are one decision, because only together they show on the output. Terms
are written out; another output stands as one condition. A latch adds the condition “already on”; a
latch that toggles is looked at twice, once from off and once from on.
"""

from dataclasses import dataclass, field
from itertools import product

from jobs.controls.decision import (
    Fixed,
    Joined,
    Leaf,
    Opposite,
    Shape,
    all_of,
    any_of,
    leaves,
    simplified,
)
from jobs.controls.expressions import AllOf, AnyOf, Condition, Edge, Expression, Named, Not
from jobs.controls.logic import Action, Output, Rule
from jobs.controls.model import Model
from jobs.controls.readings import Role, View
from jobs.controls.words import Words


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A condition where it stands: its words and its node in the model.

    A momentary one is true only at the moment something is pressed or released.
    """

    words: str
    node: int
    momentary: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Decision:
    """`ties` are nodes that are true in every test row: delays settled, the toggle's side."""

    key: str
    output: str
    shape: Shape
    places: tuple[Place, ...]
    ties: tuple[int, ...]
    rules: tuple[str, ...]

    def needs_a_moment(self, row: int) -> bool:
        """Whether something must just have been pressed or released in this row."""
        return any(place.momentary and row >> at & 1 for at, place in enumerate(self.places))

    @property
    def same(self) -> tuple[tuple[int, ...], ...]:
        """Places at which one condition stands more than once."""
        found: dict[int, list[int]] = {}
        for at, place in enumerate(self.places):
            found.setdefault(place.node, []).append(at)
        return tuple(tuple(each) for each in found.values() if len(each) > 1)


def decisions(model: Model) -> list[Decision]:
    """All outputs that rules drive, in the order of the logic."""
    words = Words(model.logic)
    found = []
    for output in model.logic.outputs:
        rules = [rule for rule in model.logic.rules if rule.output == output.name]
        toggles = [rule.name for rule in rules if rule.toggle]
        for sides in product((False, True), repeat=len(toggles)) if rules else ():
            builder = _Builder(model, words, dict(zip(toggles, sides, strict=True)))
            found.append(builder.decision(output, rules))
    return found


@dataclass
class _Builder:
    model: Model
    words: Words
    sides: dict[str, bool]
    places: list[Place] = field(default_factory=list)
    ties: list[int] = field(default_factory=list)

    def decision(self, output: Output, rules: list[Rule]) -> Decision:
        shape: Shape = Fixed(value=False)
        for rule in sorted(rules, key=lambda rule: rule.priority):
            active = self._rule(rule)
            on = rule.action is Action.TURN_ON
            shape = any_of(active, shape) if on else all_of(Opposite(part=active), shape)
        if output.series:
            shape = all_of(shape, self._leaf(Named(name=output.series), View()))
        shape = simplified(shape)
        kept = leaves(shape)
        key = output.name + "".join(f" from {'on' if on else 'off'}" for on in self.sides.values())
        return Decision(
            key=key,
            output=output.name,
            shape=_renumbered(shape, {old: new for new, old in enumerate(kept)}),
            places=tuple(self.places[number] for number in kept),
            ties=tuple(self.ties),
            rules=tuple(rule.name for rule in rules),
        )

    def _rule(self, rule: Rule) -> Shape:
        eyes = View(unsafe=rule.unsafe)
        self._settle(rule)
        sets = self._shape(rule.when, eyes)
        if rule.reset is None:
            return sets
        resets = Opposite(part=self._shape(rule.reset, eyes))
        was = self.model.readings.variable(Role.WAS, rule.name, tag="latch")
        if rule.name not in self.sides:
            label = self.model.label(rule.output)
            self.places.append(Place(words=f"{label} is already on", node=was))
            return all_of(any_of(sets, Leaf(number=len(self.places) - 1)), resets)
        on = self.sides[rule.name]
        self.ties.append(was if on else self.model.circuit.negate(was))
        return all_of(Opposite(part=sets) if on else sets, resets)

    def _settle(self, rule: Rule) -> None:
        """The rule's own delays count as run out; the steps say how long to wait."""
        if rule.on_delay_s:
            self.ties.append(self.model.readings.variable(Role.TIMER, rule.name, tag="on"))
        if rule.off_delay_s:
            held = self.model.readings.variable(Role.TIMER, rule.name, tag="off")
            self.ties.append(self.model.circuit.negate(held))

    def _shape(self, expression: Expression, eyes: View) -> Shape:
        match expression:
            case Not(inner=inner):
                return Opposite(part=self._shape(inner, eyes))
            case AllOf(parts=parts):
                return all_of(*[self._shape(part, eyes) for part in parts])
            case AnyOf(parts=parts):
                return any_of(*[self._shape(part, eyes) for part in parts])
            case Named(name=name) if (term := self.model.term(name)) is not None:
                return self._shape(term, eyes)
            case condition:
                return self._leaf(condition, eyes)

    def _leaf(self, condition: Condition, eyes: View) -> Leaf:
        words = self.words.phrase(condition)
        node = self.model.node(condition, eyes)
        momentary = isinstance(condition, Edge)
        self.places.append(Place(words=words, node=node, momentary=momentary))
        return Leaf(number=len(self.places) - 1)


def _renumbered(shape: Shape, numbers: dict[int, int]) -> Shape:
    match shape:
        case Leaf(number=number):
            return Leaf(number=numbers[number])
        case Opposite(part=part):
            return Opposite(part=_renumbered(part, numbers))
        case Joined(parts=parts, any_of=is_or):
            return Joined(parts=tuple(_renumbered(each, numbers) for each in parts), any_of=is_or)
        case fixed:
            return fixed
