"""What the design fills into a template, as people read and type it: [circuit name]."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

# What {ref} and {name} stand for in the checks made for each of a kind.
CIRCUIT = {"ref": "circuit", "name": "circuit name"}
FILLS: dict[str, dict[str, str]] = {
    "feed.device": {"ref": "feed", "name": "feed name"},
    "feed.joint": {"ref": "feed", "name": "feed name"},
    "circuit.device": CIRCUIT,
    "circuit.polarity": CIRCUIT,
    "circuit.volts": CIRCUIT,
    "circuit.current": CIRCUIT,
    "timer": {"ref": "rule and delay", "name": "what the rule does"},
    "door": {"ref": "which door switch", "name": "build line"},
    "lamp": {"ref": "build line", "name": "lamp"},
    "crimp": {"ref": "conductor size"},
    "axle": {"name": "axle"},
}
# What such a check is made for, instead of its code.
KINDS = {
    "feed.device": "Protection, each feed",
    "feed.joint": "Joint drop, each feed",
    "circuit.device": "Protection, each circuit",
    "circuit.polarity": "Polarity, each circuit",
    "circuit.volts": "Voltage, each circuit",
    "circuit.current": "Current, each circuit",
    "timer": "Delay, each timed rule",
    "door": "Door switch, each door",
    "lamp": "Lights, each warning line",
    "crimp": "Crimp pull, each conductor size",
    "keyoff": "Key-off draw",
    "axle": "Weight, each axle",
}
IN_BRACKETS = re.compile(r"\[([^\[\]]*)\]|\{([^{}]*)\}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """A stretch of a template's words; `filled` when the design puts something in its place."""

    words: str
    filled: bool = False


def pieces(code: str, text: str) -> Iterator[Piece]:
    """The text in order, what is filled in apart.

    >>> [piece.words for piece in pieces("axle", "Weight, {name}")]
    ['Weight, ', 'axle']
    """
    fills, at = FILLS.get(code, {}), 0
    for found in re.finditer(r"\{(\w+)\}", text):
        if found[1] not in fills:
            continue
        if found.start() > at:
            yield Piece(words=text[at : found.start()])
        yield Piece(words=fills[found[1]], filled=True)
        at = found.end()
    if at < len(text):
        yield Piece(words=text[at:])


def to_words(code: str, text: str) -> str:
    """As people edit it.

    >>> to_words("circuit.volts", "Voltage at {name} ({ref})")
    'Voltage at [circuit name] ([circuit])'
    """
    return "".join(f"[{one.words}]" if one.filled else one.words for one in pieces(code, text))


def from_words(code: str, text: str) -> str:
    """As it is stored; ValueError with a sentence when the design does not know what is asked for.

    >>> from_words("axle", "Weight of [ Axle ]")
    'Weight of {name}'
    """
    fills = FILLS.get(code, {})
    names = {words: name for name, words in fills.items()} | {name: name for name in fills}

    def stored(found: re.Match[str]) -> str:
        asked = " ".join((found[1] or found[2] or "").lower().split())
        if asked not in names:
            can = explained(code) or "Nothing is filled in here."
            raise ValueError(f"{found[0]} is nothing that the design knows. {can}")
        return "{" + names[asked] + "}"

    return IN_BRACKETS.sub(stored, text) if fills else text


def explained(code: str) -> str:
    """What may stand in brackets, for the field's explanation."""
    known = [f"[{words}]" for words in FILLS.get(code, {}).values()]
    if not known:
        return ""
    verb = "are" if len(known) > 1 else "is"
    return f"{' and '.join(known)} {verb} filled in from the design."
