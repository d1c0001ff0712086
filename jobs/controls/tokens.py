"""Words and symbols of an expression, each with its place in the text."""

import re
from dataclasses import dataclass

MAX_LENGTH = 10_000
TOKEN = re.compile(r"\s*(?:([A-Za-z0-9_.]+)|(>=|<|=|\(|\))|(\S))")
USUAL_SLIPS = {
    "&": "AND", "*": "AND", "·": "AND", "∧": "AND", "|": "OR", "+": "OR", "∨": "OR",
    "!": "NOT", "~": "NOT", "¬": "NOT", ">": "at least", "≥": "at least", "≠": "is not",
}  # fmt: skip
SYMBOLS = {">=": "at least", "<": "below", "=": "is"}


class ExpressionError(ValueError):
    """A sentence about the first thing that cannot be read, with its place in the text."""

    def __init__(self, message: str, *, position: int, suggestions: tuple[str, ...] = ()) -> None:
        hint = f" Did you mean {' or '.join(suggestions)}?" if suggestions else ""
        super().__init__(f"{message}{hint}")
        self.position = position
        self.suggestions = suggestions


@dataclass(frozen=True, kw_only=True, slots=True)
class Token:
    text: str
    position: int

    @property
    def word(self) -> str:
        return self.text.lower()


def tokens(text: str) -> list[Token]:
    """Cut the text up. Raises ExpressionError at the first sign that is not used."""
    found = []
    for match in TOKEN.finditer(text.rstrip()):
        word, symbol, slip = match.groups()
        position = match.start(match.lastindex or 0)
        if slip:
            advice = f" Write {USUAL_SLIPS[slip]}." if slip in USUAL_SLIPS else ""
            message = f"“{slip}” at place {position + 1} is not used here.{advice}"
            raise ExpressionError(message, position=position)
        if symbol in SYMBOLS:
            found += [Token(text=part, position=position) for part in SYMBOLS[symbol].split()]
        else:
            found.append(Token(text=word or symbol, position=position))
    return found
