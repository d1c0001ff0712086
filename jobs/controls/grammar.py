"""The expression grammar: words, names and parentheses, read without guessing.

    expression = all { OR all }          all = part { AND part }
    part       = NOT part | "(" expression ")" | condition
    condition  = NAME                              a two-state signal, term or output that is on
               | NAME is [not] POSITION            GEAR is P
               | NAME at least VALUE               SPEED at least 10     (also >=)
               | NAME below VALUE                  SPEED below 10        (also <)
               | NAME is known | NAME is unknown
               | NAME pressed | NAME released      at the moment it changes

AND binds closer than OR. Key words and names may be typed in small or capital letters.
"""

from collections.abc import Callable, Mapping
from difflib import get_close_matches

from jobs.controls.expressions import (
    AllOf,
    AnyOf,
    Compare,
    Condition,
    Edge,
    Expression,
    Known,
    Named,
    Not,
    Relation,
)
from jobs.controls.signals import Signal, SignalKind
from jobs.controls.tokens import MAX_LENGTH, ExpressionError, Token, tokens

MAX_NESTING = 40
KEYWORDS = frozenset(
    ("and", "or", "not", "is", "at", "least", "below", "known", "unknown", "pressed", "released")
)
# What a name may stand for: a signal, or None for a term or an output.
Vocabulary = Mapping[str, Signal | None]


def parse(text: str, vocabulary: Vocabulary) -> Expression:
    """Read an expression whose names are all in the vocabulary. Raises ExpressionError."""
    if len(text) > MAX_LENGTH:
        message = f"The expression has {len(text):,} characters; at most {MAX_LENGTH:,} are read."
        raise ExpressionError(message, position=MAX_LENGTH)
    reader = _Reader(tokens=tokens(text), end=len(text), vocabulary=vocabulary)
    expression = reader.expression()
    if (extra := reader.peek()) is not None:
        raise reader.error(extra, f"“{extra.text}” is not expected here; AND or OR may be missing.")
    return expression


class _Reader:
    def __init__(self, *, tokens: list[Token], end: int, vocabulary: Vocabulary) -> None:
        self.tokens = tokens
        self.end = end
        self.vocabulary = vocabulary
        self.spelling = {name.lower(): name for name in vocabulary}
        self.at = 0
        self.depth = 0

    def peek(self) -> Token | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def word(self) -> str:
        token = self.peek()
        return token.word if token else ""

    def take(self, *words: str) -> bool:
        """Step over these words if they come next."""
        following = [token.word for token in self.tokens[self.at : self.at + len(words)]]
        if following != list(words):
            return False
        self.at += len(words)
        return True

    def next(self, wanted: str) -> Token:
        token = self.peek()
        if token is None:
            raise ExpressionError(
                f"The expression stops too early; {wanted} is missing.", position=self.end
            )
        self.at += 1
        return token

    def error(self, token: Token, message: str, near: tuple[str, ...] = ()) -> ExpressionError:
        place = f"At place {token.position + 1}: "
        return ExpressionError(place + message, position=token.position, suggestions=near)

    def expression(self) -> Expression:
        return self._joined("or", AnyOf, lambda: self._joined("and", AllOf, self.part))

    def _joined(
        self,
        word: str,
        kind: type[AllOf] | type[AnyOf],
        read: Callable[[], Expression],
    ) -> Expression:
        parts = [read()]
        while self.take(word):
            parts.append(read())
        return parts[0] if len(parts) == 1 else kind(parts=tuple(parts))

    def part(self) -> Expression:
        self.depth += 1
        token = self.next("a signal name")
        if self.depth > MAX_NESTING:
            raise self.error(token, f"more than {MAX_NESTING} parentheses and NOTs are nested.")
        self.at -= 1
        found = self._part()
        self.depth -= 1
        return found

    def _part(self) -> Expression:
        if self.take("not"):
            return Not(inner=self.part())
        opening = self.peek()
        if not self.take("("):
            return self.condition()
        inner = self.expression()
        if not self.take(")"):
            assert opening is not None
            raise self.error(self.peek() or opening, "a closing parenthesis is missing.")
        return inner

    def condition(self) -> Expression:
        token = self.next("a signal name")
        if token.word in KEYWORDS or token.text in "()":
            raise self.error(token, f"a signal name is expected, not “{token.text}”.")
        name = self.spelling.get(token.word)
        if name is None:
            near = get_close_matches(token.word, self.spelling, n=3, cutoff=0.5)
            known = tuple(self.spelling[word] for word in near)
            raise self.error(token, f"“{token.text}” is no signal, term or output.", known)
        return self._about(name, token)

    def _about(self, name: str, token: Token) -> Expression:
        signal = self.vocabulary[name]
        if self.take("is", "known"):
            return self._known(name, token)
        if self.take("is", "unknown"):
            return Not(inner=self._known(name, token))
        if self.take("pressed") or self.take("released"):
            return self._edge(name, token, rising=self.tokens[self.at - 1].word == "pressed")
        if self.word() in ("is", "at", "below"):
            return self._compared(name, signal, token)
        if signal is not None and signal.kind is not SignalKind.TWO_STATE:
            example = _example(signal)
            raise self.error(token, f"{name} has several values; write for example “{example}”.")
        return Named(name=name)

    def _known(self, name: str, token: Token) -> Condition:
        if self.vocabulary[name] is None:
            raise self.error(token, f"{name} is worked out, not read, so it is always known.")
        return Known(name=name)

    def _edge(self, name: str, token: Token, *, rising: bool) -> Condition:
        signal = self.vocabulary[name]
        if signal is None or signal.kind is not SignalKind.TWO_STATE:
            raise self.error(token, f"only a two-state signal is pressed or released, not {name}.")
        return Edge(name=name, rising=rising)

    def _compared(self, name: str, signal: Signal | None, token: Token) -> Expression:
        if signal is None or signal.kind is SignalKind.TWO_STATE:
            raise self.error(token, f"{name} is only on or off; write “{name}” or “NOT {name}”.")
        relation, negated = self._relation()
        value = self.next(f"a value of {name}")
        operand = _operand(signal, relation, value.text)
        if operand is None:
            raise self.error(value, _value_advice(signal, relation, value.text))
        compare = Compare(name=name, relation=relation, operand=operand)
        return Not(inner=compare) if negated else compare

    def _relation(self) -> tuple[Relation, bool]:
        if self.take("at", "least"):
            return Relation.AT_LEAST, False
        if self.take("below"):
            return Relation.BELOW, False
        if self.take("at"):
            raise self.error(self.tokens[self.at - 1], "“at” is followed by “least”.")
        self.take("is")
        return Relation.IS, self.take("not")


def _operand(signal: Signal, relation: Relation, text: str) -> str | None:
    """The value as the signal spells it, or None when it has no such value."""
    if signal.kind is SignalKind.POSITION:
        return {position.lower(): position for position in signal.positions}.get(text.lower())
    if relation is Relation.IS:
        return None
    for threshold in signal.thresholds:
        if text.lower() == threshold.name.lower() or _number(text) == threshold.value:
            return threshold.operand
    return None


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _value_advice(signal: Signal, relation: Relation, text: str) -> str:
    if signal.kind is SignalKind.POSITION:
        return f"{signal.name} has no position “{text}”; it has {', '.join(signal.positions)}."
    if relation is Relation.IS:
        return f"{signal.name} is measured; write for example “{_example(signal)}”."
    known = ", ".join(threshold.operand for threshold in signal.thresholds)
    return f"“{text}” is no threshold of {signal.name}; its thresholds are {known}."


def _example(signal: Signal) -> str:
    if signal.kind is SignalKind.POSITION:
        return f"{signal.name} is {signal.positions[0]}"
    return f"{signal.name} at least {signal.thresholds[0].operand}"
