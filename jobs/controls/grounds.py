"""What an answer about one interlock rests on, as one text: while it stays, so does the answer."""

import hashlib
from dataclasses import replace

from jobs.controls.expressions import names
from jobs.controls.logic import Interlock, InterlockKind, Logic
from jobs.controls.order import spread, used_names

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
    terms = {term.name: term.when for term in logic.terms}
    used = _behind(logic, spread(interlock, terms))
    parts = [
        *(replace(each, caution="", source="") for each in logic.signals if each.name in used),
        *logic.terms,
        *(
            replace(each, guide="", caution="", load_ma=0, peak_ma=0)
            for each in logic.outputs
            if each.name in used
        ),
        *(replace(each, why="") for each in logic.rules if each.output in used),
        *logic.assumptions,
    ]
    return "\n".join(map(str, (interlock, *parts)))


def _behind(logic: Logic, used: set[str]) -> set[str]:
    """Everything that these names depend on, through rules, series outputs and assumptions."""
    terms = {term.name: term.when for term in logic.terms}
    series = {output.name: output.series for output in logic.outputs}
    used = used | {name for each in logic.assumptions for name in names(each.holds)}
    while True:
        more = {
            name for rule in logic.rules if rule.output in used for name in used_names(rule, terms)
        }
        more |= {series[name] for name in used if series.get(name)}
        if more <= used:
            return used
        used = used | more
