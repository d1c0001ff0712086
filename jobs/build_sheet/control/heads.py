"""The page of lamp heads: one order of priority each, and one winner in every state."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Any
from urllib.parse import urlencode

from jobs.build_sheet.control.address import resting, write_setting
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Head, Logic, Pattern
from jobs.controls.results import Setting
from jobs.controls.words import Words, capital

MAX_IMPOSSIBLE = 64
STATES = {
    "reached": ("pass", "Reached"),
    "never reached": ("na", "Never reached"),
    "not decided": ("open", "Not decided"),
    "impossible": ("na", "Impossible"),
}
RANK = {key: place for place, key in enumerate(STATES)}


@dataclass(frozen=True, kw_only=True, slots=True)
class Rank:
    """A pattern in the order of priority."""

    name: str
    shows: str
    when: str
    never: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    asked: str
    shows: str
    state: str
    word: str
    example: str = ""
    address: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    head: Head
    label: str
    ranks: tuple[Rank, ...]
    cells: tuple[Cell, ...]
    impossible: int
    complete: bool


def tables(logic: Logic, found: list[dict[str, Any]]) -> list[Table]:
    """What was worked out, head by head, in the words of this version."""
    reader = _Reader(logic)
    heads = {head.name: head for head in logic.heads}
    return [reader.table(heads[row["head"]], row) for row in found if row["head"] in heads]


class _Reader:
    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.words = Words(logic)
        self.machine = Machine(logic)
        self.rest = resting(logic)

    def table(self, head: Head, found: dict[str, Any]) -> Table:
        cells = [self._cell(head, row) for row in found["rows"]]
        if found["impossible"] and 1 << len(head.patterns) <= MAX_IMPOSSIBLE:
            cells += self._impossible(head, {tuple(row["asked"]) for row in found["rows"]})
        return Table(
            head=head,
            label=capital(head.label),
            ranks=tuple(
                Rank(
                    name=each.name,
                    shows=_shows(each),
                    when=self.words.phrase(each.when),
                    never=each.name in found["never_shown"],
                )
                for each in head.patterns
            ),
            cells=tuple(cells),
            impossible=found["impossible"],
            complete=found["complete"],
        )

    def _cell(self, head: Head, row: dict[str, Any]) -> Cell:
        patterns = {each.name: each for each in head.patterns}
        winner = patterns.get(row["winner"])
        state, word = STATES[row["cell"]]
        settings = [
            Setting(signal=signal, value=value, known=known)
            for signal, value, known in row["example"]
            if signal in self.rest
        ]
        away = [each for each in settings if each != self.rest[each.signal]]
        example = ", ".join(map(self.words.setting, away)) or "everything is at rest"
        return Cell(
            asked=_asked(row["asked"]),
            shows=_shows(winner, name=True),
            state=state,
            word=word,
            example=capital(example) if row["cell"] == "reached" else "",
            address=self._address(head, away, row) if row["cell"] == "reached" else "",
        )

    def _address(self, head: Head, away: list[Setting], row: dict[str, Any]) -> str:
        """Where the simulator shows this cell, if it does so right after power-up."""
        settings = self.rest | {each.signal: each for each in away}
        outcome = self.machine.step(self.machine.start(), settings.values())
        shown = {each.head: each.pattern for each in outcome.heads}
        if shown[head.name] != row["winner"]:
            return ""
        return urlencode({"at": ",".join(map(write_setting, away))}) if away else "at="

    def _impossible(self, head: Head, possible: set[tuple[str, ...]]) -> Iterator[Cell]:
        names = [each.name for each in head.patterns]
        state, word = STATES["impossible"]
        for count in range(len(names) + 1):
            for asked in combinations(names, count):
                if asked not in possible:
                    yield Cell(asked=_asked(list(asked)), shows="–", state=state, word=word)


def _asked(names: list[str]) -> str:
    return " + ".join(names) or "nothing"


def _shows(pattern: Pattern | None, *, name: bool = False) -> str:
    """“blocking: red and amber, slow, one after the other”, or “dark”."""
    if pattern is None:
        return "dark"
    lit = "dark"
    if pattern.colours:
        lit = f"{' and '.join(pattern.colours)}, {pattern.flash}"
        if pattern.alternates:
            lit += ", one after the other"
    return f"{pattern.name}: {lit}" if name else lit
