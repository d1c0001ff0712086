"""What an answer about one interlock rests on, as one text: while it stays, so does the answer."""

import hashlib
from dataclasses import replace

from jobs.controls.expressions import names
from jobs.controls.logic import Interlock, InterlockKind, Logic

ABOUT_THE_WHOLE = (
    InterlockKind.COLOUR_WITHIN_PROFILE,
    InterlockKind.LATCH_RELEASABLE,
    InterlockKind.OUTPUT_REACHABLE,
)


def fingerprint(logic: Logic, interlock: Interlock, fault: str = "") -> str:
    """SHA-256 over the interlock, the fault and everything that can play a part in them."""
    return hashlib.sha256(f"{fault}\n{grounds(logic, interlock)}".encode()).hexdigest()


def grounds(logic: Logic, interlock: Interlock) -> str:
    """The interlock with all rules, outputs, terms, signals and assumptions behind it."""
    # Words for people change no answer.
    interlock = replace(interlock, label="", why="")
    if interlock.kind in ABOUT_THE_WHOLE:
        return f"{interlock}\n{replace(logic, version='', title='', interlocks=())}"
    used = _behind(logic, interlock)
    parts = [
        *(replace(each, caution="", source="") for each in logic.signals if each.name in used),
        *(each for each in logic.terms if each.name in used),
        *(
            replace(each, guide="", caution="", load_ma=0, peak_ma=0)
            for each in logic.outputs
            if each.name in used
        ),
        *(replace(each, why="") for each in logic.rules if each.output in used),
        *(each for each in logic.assumptions if names(each.holds) <= used),
    ]
    return "\n".join(map(str, (interlock, *parts)))


def _behind(logic: Logic, interlock: Interlock) -> set[str]:
    """Every name that the interlock depends on, through terms, rules and series outputs.

    An assumption counts where it is about one of them; about others it changes nothing.
    """
    uses: dict[str, set[str]] = {term.name: set(names(term.when)) for term in logic.terms}
    uses |= {output.name: {output.series} - {""} for output in logic.outputs}
    for rule in logic.rules:
        uses[rule.output] |= names(rule.when) | (names(rule.reset) if rule.reset else set())
    parts = [*interlock.subjects, *([interlock.condition] if interlock.condition else [])]
    used = {name for part in parts for name in names(part)}
    while True:
        more = {name for each in used for name in uses.get(each, ())}
        for assumption in logic.assumptions:
            about = set(names(assumption.holds))
            more |= about if about & used else set()
        if more <= used:
            return used
        used |= more
