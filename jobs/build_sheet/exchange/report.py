"""What bringing a build file onto a job did, or would do."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from jobs.build_sheet.exchange.read import Problem
from jobs.build_sheet.exchange.tables import Cells
from jobs.electrical.rule_sets.catalog import rule_set_name


@dataclass(frozen=True, kw_only=True, slots=True)
class RowChange:
    """One row; `cells` are the columns that change, each with its value before and after."""

    table: str
    row: str
    verb: str
    cells: tuple[tuple[str, Any, Any], ...] = ()


@dataclass(kw_only=True, slots=True)
class Report:
    """What was (or would be) added, changed and removed, per table."""

    added: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    removed: Counter[str] = field(default_factory=Counter)
    rows: list[RowChange] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    # The new rule set, when the file asks for another one.
    rule_set: str = ""

    @property
    def words(self) -> str:
        def tell(counts: Counter[str]) -> str:
            return ", ".join(f"{n} {name}" for name, n in counts.items()) or "nothing"

        judged = f" Rule set {rule_set_name(self.rule_set)}." if self.rule_set else ""
        return (
            f"Added {tell(self.added)}; changed {tell(self.changed)}; removed {tell(self.removed)}."
            f"{judged}"
        )

    @property
    def empty(self) -> bool:
        """Whether the job holds already what the file says."""
        return not (self.added or self.changed or self.removed or self.rule_set)

    def add(self, table: str, row: str) -> None:
        self.added[table] += 1
        self.rows.append(RowChange(table=table, row=row, verb="added"))

    def change(self, table: str, row: str, before: Cells, after: Cells) -> None:
        """Note a row whose cells differ; one that is as it was is none."""
        cells = tuple(
            (name, before[name], after[name]) for name in after if before[name] != after[name]
        )
        if cells:
            self.changed[table] += 1
            self.rows.append(RowChange(table=table, row=row, verb="changed", cells=cells))

    def remove(self, table: str, row: str) -> None:
        self.removed[table] += 1
        self.rows.append(RowChange(table=table, row=row, verb="removed"))
