"""Steps that take a signal away while a safety interlock is at stake, and say what must follow."""

from jobs.controls.book import Book
from jobs.controls.expressions import names
from jobs.controls.logic import Interlock, InterlockKind
from jobs.controls.order import spread
from jobs.controls.planner import Planner
from jobs.controls.readings import TRUTH
from jobs.controls.results import Setting
from jobs.controls.runner import Played
from jobs.controls.steps import Expectation
from jobs.controls.tables import Tables
from jobs.controls.walk import play


def show_faults(book: Book) -> None:
    """One step for each safety interlock and each signal it names that may become unknown."""
    for interlock in book.logic.interlocks:
        kinds = (InterlockKind.NEVER_UNLESS, InterlockKind.ALWAYS_WHEN)
        if interlock.safety and interlock.kind in kinds:
            for output in _outputs(book, interlock):
                _show(book, interlock, output)


def _outputs(book: Book, interlock: Interlock) -> list[str]:
    """Outputs that are subjects; a subject made of several things is left to its rules."""
    known = {output.name for output in book.logic.outputs}
    found = {name for subject in interlock.subjects for name in names(subject)} & known
    return [output.name for output in book.logic.outputs if output.name in found]


def _show(book: Book, interlock: Interlock, output: str) -> None:
    wanted = [book.model.energised(output)]
    if interlock.condition is not None:
        wanted.append(book.model.node(interlock.condition, TRUTH))
    planner = Planner(book.model, wanted)
    try:
        for signal in _signals(book, interlock):
            _take_away(book, interlock, output, planner, wanted, signal)
    finally:
        planner.close()


def _signals(book: Book, interlock: Interlock) -> list[str]:
    """Signals that the interlock names, through terms too, and that may become unknown."""
    used = spread(interlock, {term.name: term.when for term in book.logic.terms})
    return [each.name for each in book.logic.signals if each.may_be_unknown and each.name in used]


def _take_away(
    book: Book,
    interlock: Interlock,
    output: str,
    planner: Planner,
    wanted: list[int],
    signal: str,
) -> None:
    way = planner.plan(book.runner.now(), wanted)
    if way is None:
        return
    before = play(book, planner.cone, way, set())
    whole = book.runner.settings[signal]
    lost = Setting(signal=signal, value=whole.value, known=False)
    delay_s = book.runner.machine.lookup.delay_s
    quick = {name for name in book.rules if delay_s(name) <= interlock.allow_s}
    played = book.play([lost], quick)
    if output in before.outcome.energised and whole.known and _applies(book, interlock):
        expect = _expectation(interlock, output, played)
        key = f"{interlock.name}/{output}/{signal} unknown"
        settings = book.settings_of(planner.cone)
        rules = tuple(rule.name for rule in book.logic.rules if rule.output == output)
        asserted = book.assertion(key, expect, settings, rules=rules, safety=True)
        book.write([asserted])
    book.play([whole], set())


def _applies(book: Book, interlock: Interlock) -> bool:
    """Whether the interlock still demands something with the signal gone."""
    if interlock.kind is InterlockKind.NEVER_UNLESS or interlock.condition is None:
        return True
    point = Tables.at(book.model.circuit, book.runner.now())
    return bool(point.table(book.model.node(interlock.condition, TRUTH)))


def _expectation(interlock: Interlock, output: str, played: Played) -> Expectation:
    """What the rules do, unless that breaks the interlock: then what it demands."""
    if interlock.name in played.outcome.broken:
        return Expectation(name=output, on=interlock.kind is InterlockKind.ALWAYS_WHEN)
    on = output in played.outcome.energised
    first = output in played.at_once.energised
    return Expectation(name=output, on=on, at_once=first if first != on else None)
