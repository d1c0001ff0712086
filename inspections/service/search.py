"""From what a technician types to the circuit: a load, device, wire number or symptom."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from inspections.as_built.current import AsBuilt
from inspections.service.words import IDLE, SYMPTOMS
from jobs.build_sheet.tracing import place_of
from jobs.models import Circuit

MOST_TYPED = 100
# How much a word says about a circuit, by where it stands.
IN_NAME, IN_LOAD, IN_PLACE, IN_SYMPTOM = 8, 6, 3, 2
EXACT = 40
_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    circuit: Circuit
    score: int
    loads: str
    places: str


def find(built: AsBuilt, typed: str) -> list[Hit]:
    """Circuits by how many of the typed words they answer, then how well; all without words."""
    text = typed[:MOST_TYPED].casefold()
    said = _WORD.findall(text)
    wanted = [word for word in said if word not in IDLE] or said
    squeezed = _squeezed(text)
    past = _past(built)
    ranked = []
    for circuit in built.circuits:
        if not wanted:
            ranked.append((0, 0, _hit(circuit, 0)))
            continue
        scores = _scores(circuit, wanted, past.get(circuit.pk, ""))
        exact = squeezed in {_squeezed(name) for name in _names(circuit)}
        answered = len(wanted) if exact else sum(score > 0 for score in scores)
        total = sum(scores) + EXACT * exact
        if answered:
            ranked.append((answered, total, _hit(circuit, total)))
    most = max((answered for answered, _, _ in ranked), default=0)
    best = [(total, hit) for answered, total, hit in ranked if answered == most]
    return [hit for _, hit in sorted(best, key=lambda pair: -pair[0])]


def _hit(circuit: Circuit, score: int) -> Hit:
    loads = list(circuit.loads.all())
    return Hit(
        circuit=circuit,
        score=score,
        loads=", ".join(f"{load.line.ref} {load.line.part.description}" for load in loads),
        places=", ".join(dict.fromkeys(place_of(load.line) for load in loads)),
    )


def _squeezed(text: str) -> str:
    """'A 01', 'a-01' and 'A01' are one wire number."""
    return "".join(_WORD.findall(text.casefold()))


def _names(circuit: Circuit) -> Iterator[str]:
    yield circuit.ref
    yield circuit.label
    if circuit.node:
        yield f"{circuit.node.ref}{circuit.channel}"
    yield from (load.line.ref for load in circuit.loads.all())


def _scores(circuit: Circuit, wanted: Iterable[str], past: str) -> list[int]:
    loads = [load.line for load in circuit.loads.all()]
    node = circuit.node
    fields = (
        (IN_NAME, f"{circuit.ref} {circuit.label} {circuit.designation}"),
        (IN_LOAD, " ".join(f"{line.ref} {line.part.description}" for line in loads)),
        (IN_LOAD, " ".join(line.part.part.code for line in loads)),
        (IN_PLACE, " ".join(place_of(line) for line in loads)),
        (IN_PLACE, f"{node.ref} {node.place}" if node else ""),
        (IN_PLACE, f"{circuit.feed.name} {circuit.feed.panel_place} {circuit.colour}"),
        (IN_SYMPTOM, " ".join(SYMPTOMS.get(line.part.part.kind, "") for line in loads)),
        (IN_SYMPTOM, past),
    )
    words = [(weight, _WORD.findall(text.casefold())) for weight, text in fields]
    return [_score(one, words) for one in wanted]


def _score(wanted: str, fields: list[tuple[int, list[str]]]) -> int:
    """The best place where the word stands; the start of a word counts half."""
    whole = max((weight for weight, words in fields if wanted in words), default=0)
    begun = max(
        (weight for weight, words in fields if any(_begins(wanted, word) for word in words)),
        default=0,
    )
    return max(2 * whole, begun)


def _begins(wanted: str, word: str) -> bool:
    """'light' meets 'lightbar', and 'lights' meets 'light'."""
    if len(wanted) < 3:
        return False
    return word.startswith(wanted) or (len(word) > 3 and wanted.startswith(word))


def _past(built: AsBuilt) -> dict[int, str]:
    """What was said about each circuit on earlier visits."""
    found: dict[int, str] = {}
    for circuit, symptom in built.unit.cases.exclude(circuit=None).values_list(
        "circuit", "symptom"
    ):
        found[circuit] = f"{found.get(circuit, '')} {symptom}"
    return found
