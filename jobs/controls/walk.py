"""Steps for rules that remember: each row by the shortest way from where the logic then is."""

from jobs.controls.book import Book
from jobs.controls.cones import Cone
from jobs.controls.decision import holds
from jobs.controls.decisions import Decision
from jobs.controls.mcdc import Cover, cover, judged
from jobs.controls.planner import Planner
from jobs.controls.readings import Role, Variable
from jobs.controls.rows import loose_rows
from jobs.controls.runner import Played
from jobs.controls.steps import Expectation, NotShown
from jobs.controls.tables import MAX_VARIABLES


def walk(book: Book, decision: Decision) -> Cover:
    """Write the steps of one decision; rows that cannot be reached are replaced by others."""
    nodes = [place.node for place in decision.places]
    planner = Planner(book.model, [*nodes, *decision.ties])
    try:
        return _Walk(book, planner, decision).covered()
    finally:
        planner.close()


class _Walk:
    """The rows of one decision: which are possible as far as is known, which are shown."""

    def __init__(self, book: Book, planner: Planner, decision: Decision) -> None:
        self.book = book
        self.planner = planner
        self.decision = decision
        self.count = len(decision.places)
        self.legal = 0
        if self.count <= MAX_VARIABLES:
            loose = loose_rows(book.model, decision)
            self.legal = (1 << (1 << self.count)) - 1 if loose is None else loose

    def covered(self) -> Cover:
        if self.count > MAX_VARIABLES:
            return self._as_far_as_possible()
        found = self._reachable()
        shown: set[int] = set()
        while missing := [row for row in found.rows if row not in shown]:
            if self._show(missing[0]):
                shown.add(missing[0])
                continue
            self.legal &= ~(1 << missing[0])
            found = self._reachable()
        return found

    def _as_far_as_possible(self) -> Cover:
        """For decisions with more conditions than tables hold: the usual rows that work."""
        usual = cover(self.decision.shape, self.count)
        rows = tuple(row for row in usual.rows if self._show(row))
        return judged(self.decision.shape, self.count, rows)

    def _reachable(self) -> Cover:
        """The cover over the rows that there is a way to."""
        can: set[int] = set()
        now = self.book.runner.now()
        while True:
            found = cover(
                self.decision.shape, self.count, legal=self.legal, same=self.decision.same
            )
            unknown = [row for row in found.rows if row not in can]
            out_of_reach = [row for row in unknown if not self.planner.can(now, self._wanted(row))]
            if not out_of_reach:
                return found
            can |= set(unknown)
            for row in out_of_reach:
                self.legal &= ~(1 << row)

    def _wanted(self, row: int) -> list[int]:
        negate = self.book.model.circuit.negate
        places = enumerate(self.decision.places)
        values = [each.node if row >> at & 1 else negate(each.node) for at, each in places]
        return [*values, *self.decision.ties]

    def _show(self, row: int) -> bool:
        """Write the step for a row; False when it cannot be set up after all."""
        proof_s = self.book.proof_s(self.decision, holds(self.decision.shape, row))
        return self._shown(row, proof_s) or bool(proof_s and self._shown(row, 0))

    def _shown(self, row: int, at_least_s: float) -> bool:
        book, decision = self.book, self.decision
        way = self.planner.plan(book.runner.now(), self._wanted(row))
        if way is None:
            return False
        own = set(decision.rules)
        played = play(book, self.planner.cone, way, own, at_least_s=at_least_s)
        outcome = holds(decision.shape, row)
        if (decision.output in played.outcome.energised) != outcome:
            return False
        started = {timer.rule for timer in played.at_once.state.timers} & own
        if started and decision.needs_a_moment(row):
            return False  # When the delay is over, the moment is long gone.
        first = decision.output in played.at_once.energised
        expect = Expectation(
            name=decision.output, on=outcome, at_once=first if first != outcome else None
        )
        asserted = book.assertion(
            book.row_key(decision, row),
            expect,
            book.settings_of(self.planner.cone),
            rules=decision.rules,
            safety=decision.output in book.safety,
        )
        book.write([asserted])
        return True


def play(
    book: Book, cone: Cone, way: tuple[int, ...], own: set[str], *, at_least_s: float = 0
) -> Played:
    """Play the moments of a way, waiting where a delay has to run out; returns the last one.

    A delay that runs already is waited for before anything is set, one that starts here after.
    """
    for at, true in enumerate(way):
        rules = _running_out(book, cone, true)
        begun = rules & book.runner.running()
        if begun:
            book.play([], begun)
        is_last = at == len(way) - 1
        settings = book.settings_from(cone, true)
        waiting = (rules - begun) | (own if is_last else set())
        played = book.play(settings, waiting, at_least_s=at_least_s if is_last else 0)
    return played


def _running_out(book: Book, cone: Cone, true: int) -> set[str]:
    """Rules whose delay is over at this moment: waited for its whole time, or held and ended."""
    delayed = book.runner.state.delayed
    return {
        variable.name
        for number, variable in _timers(book, cone)
        if (true >> number & 1) == (variable.tag == "on")
        if (variable.name in delayed) == (variable.tag == "off")
    }


def _timers(book: Book, cone: Cone) -> list[tuple[int, Variable]]:
    variables = book.model.readings.variables
    return [(each, variables[each]) for each in cone.inputs if variables[each].role is Role.TIMER]


def show_heads(book: Book) -> None:
    """One step for each pattern of each head that can be shown, and for each head dark."""
    for head in book.logic.heads:
        winners = book.model.winners(head)
        nodes = dict(zip([pattern.name for pattern in head.patterns], winners, strict=True))
        nodes[""] = book.model.circuit.negate(book.model.circuit.any_of(winners))
        for pattern, node in nodes.items():
            _show_pattern(book, head.name, pattern, node)


def _show_pattern(book: Book, head: str, pattern: str, node: int) -> None:
    planner = Planner(book.model, [node])
    try:
        way = planner.plan(book.runner.now(), [node])
        if way is None:
            words = pattern or "dark"
            book.not_shown.append(NotShown(output=head, condition=words, reason="Never shown."))
            return
        play(book, planner.cone, way, set())
    finally:
        planner.close()
    expect = Expectation(name=head, pattern=pattern)
    asserted = book.assertion(f"{head}/{pattern or 'dark'}", expect, book.settings_of(planner.cone))
    book.write([asserted])
