"""Control logic as a circuit: what rules ask for, what is energised, what they do next.

Latches, delays and edges are state: a variable holds what was before, and `following` is the node
that is carried over to the next moment. Running timers are free inputs, so every duration is
covered.
"""

from jobs.controls.circuit import FALSE, TRUE, Circuit
from jobs.controls.expressions import AllOf, AnyOf, Expression, Named, Not
from jobs.controls.logic import Action, Head, Logic, Pattern, Rule
from jobs.controls.order import by_dependence, used_names
from jobs.controls.readings import TRUTH, Fault, Readings, Role, View


class Model:
    """The circuit of one logic, whole or with faults.

    Delays whose whole chain takes at most `allow_s` count as run out.
    """

    def __init__(self, logic: Logic, *, allow_s: float = 0, faults: tuple[Fault, ...] = ()) -> None:
        self.logic = logic
        self.allow_s = allow_s
        self._stuck_on = {fault.output_on for fault in faults}
        self.circuit = Circuit()
        self.readings = Readings(self.circuit, logic.signals, faults)
        self.active: dict[str, int] = {}
        self._terms = {term.name: term.when for term in logic.terms}
        self._made: dict[tuple[str, View], int] = {}
        self._outputs = {output.name: output for output in logic.outputs}
        self._commands: dict[str, int] = {}
        self._settled_s: dict[str, float] = {}
        for output, rules in by_dependence(logic):
            self._settled_s[output] = max((self._chain_s(rule) for rule in rules), default=0.0)
            self._commands[output] = self._decided(rules)
        for assumption in logic.assumptions:
            self.circuit.legal.append(self.node(assumption.holds, TRUTH))

    @property
    def following(self) -> dict[int, int]:
        """What each state variable, by its number, becomes at the next moment."""
        return self.readings.following

    def label(self, output: str) -> str:
        return self._outputs[output].label

    def term(self, name: str) -> Expression | None:
        """What a term stands for, or None when the name is no term."""
        return self._terms.get(name)

    def command(self, output: str) -> int:
        """The node that is true while the rules ask for the output."""
        return self._commands[output]

    def energised(self, output: str) -> int:
        """The node that is true while energy flows: commanded, or stuck, and its series too."""
        series = self._outputs[output].series
        own = TRUE if output in self._stuck_on else self.command(output)
        return self.circuit.all_of((own, self.energised(series))) if series else own

    def winners(self, head: Head) -> list[int]:
        """For each pattern of the head, the node that is true while it is the one shown."""
        above: list[int] = []
        found = []
        for pattern in head.patterns:
            node = self.node(pattern.when, View(unsafe=head.unsafe))
            found.append(self.circuit.all_of((node, *above)))
            above.append(self.circuit.negate(node))
        return found

    def forbidden_patterns(self) -> list[tuple[Head, Pattern, int]]:
        """Patterns with a colour that the profile does not allow in the head's zone."""
        allowed = {zone.zone: set(zone.colours) for zone in self.logic.profile}
        return [
            (head, pattern, node)
            for head in self.logic.heads
            for pattern, node in zip(head.patterns, self.winners(head), strict=True)
            if not set(pattern.colours) <= allowed.get(head.zone, set())
        ]

    def node(self, expression: Expression, eyes: View) -> int:
        match expression:
            case Not(inner=inner):
                return self.circuit.negate(self.node(inner, eyes))
            case AllOf(parts=parts):
                return self.circuit.all_of([self.node(part, eyes) for part in parts])
            case AnyOf(parts=parts):
                return self.circuit.any_of([self.node(part, eyes) for part in parts])
            case Named(name=name) if name in self._terms:
                return self._term(name, eyes)
            case Named(name=name) if name in self._outputs:
                return self.energised(name) if eyes.true_values else self.command(name)
            case condition:
                return self.readings.condition(condition, eyes)

    def _term(self, name: str, eyes: View) -> int:
        if (name, eyes) not in self._made:
            self._made[name, eyes] = self.node(self._terms[name], eyes)
        return self._made[name, eyes]

    def _decided(self, rules: tuple[Rule, ...]) -> int:
        """The highest active rule decides; with none active the output is off."""
        node = FALSE
        for rule in sorted(rules, key=lambda rule: rule.priority):
            active = self.active[rule.name] = self._rule(rule)
            if rule.action is Action.TURN_ON:
                node = self.circuit.any_of((active, node))
            else:
                node = self.circuit.all_of((self.circuit.negate(active), node))
        return node

    def _rule(self, rule: Rule) -> int:
        eyes = View(unsafe=rule.unsafe)
        node = self._delayed(rule, self.node(rule.when, eyes))
        if rule.reset is None:
            return node
        return self._latched(rule, node, self.node(rule.reset, eyes))

    def _latched(self, rule: Rule, sets: int, resets: int) -> int:
        was = self.readings.variable(Role.WAS, rule.name, tag="latch")
        if rule.toggle:
            on = self.circuit.negate(self.circuit.equal(sets, was))
        else:
            on = self.circuit.any_of((sets, was))
        active = self.circuit.all_of((on, self.circuit.negate(resets)))
        self.readings.carry(was, active)
        return active

    def _delayed(self, rule: Rule, node: int) -> int:
        if not (rule.on_delay_s or rule.off_delay_s) or self._chain_s(rule) <= self.allow_s:
            return node
        was = self.readings.variable(Role.WAS, rule.name, tag="delay")
        waited, held = TRUE, FALSE
        if rule.on_delay_s:
            waited = self.readings.variable(Role.TIMER, rule.name, tag="on")
        if rule.off_delay_s:
            held = self.readings.variable(Role.TIMER, rule.name, tag="off")
        comes = self.circuit.all_of((node, self.circuit.any_of((was, waited))))
        active = self.circuit.any_of((comes, self.circuit.all_of((was, held))))
        self.readings.carry(was, active)
        return active

    def _chain_s(self, rule: Rule) -> float:
        """The longest time until this rule has settled, with the delays of what it uses [s]."""
        used = used_names(rule, self._terms)
        feeding = max((self._settled_s.get(name, 0.0) for name in used), default=0.0)
        return feeding + max(rule.on_delay_s, rule.off_delay_s)
