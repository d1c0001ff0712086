"""What pages say about kits: hours and price by today's parts, and where a job left its kit."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from catalog.models import Part
from jobs.build_sheet.exchange.write import build_of
from jobs.intake.models import Job
from jobs.kits.actions import as_it_went_in
from jobs.kits.compare import Difference, differences
from jobs.kits.models import KitRevision, KitUse


@dataclass(frozen=True, kw_only=True, slots=True)
class KitLine:
    row: dict[str, Any]
    part: Part | None
    minutes: int
    list_cents: int


@dataclass(frozen=True, kw_only=True, slots=True)
class KitSums:
    """A revision's lines with what their parts are today; what the catalog lost has no part."""

    lines: Sequence[KitLine]

    @property
    def minutes(self) -> int:
        return sum(line.minutes for line in self.lines)

    @property
    def list_cents(self) -> int:
        return sum(line.list_cents for line in self.lines)

    @property
    def unusable(self) -> list[str]:
        """Codes that keep the kit from being added."""
        return [
            line.row["part_code"] for line in self.lines if line.part is None or line.part.retired
        ]


def sums_of(revision: KitRevision) -> KitSums:
    return many_sums([revision])[revision.pk]


def many_sums(revisions: Iterable[KitRevision]) -> dict[int, KitSums]:
    """Sums of many revisions in one query."""
    revisions = list(revisions)
    codes = {row["part_code"] for one in revisions for row in one.content["lines"]}
    parts = {
        part.code: part for part in Part.objects.filter(code__in=codes).select_related("current")
    }
    return {
        one.pk: KitSums(lines=[_line(row, parts) for row in one.content["lines"]])
        for one in revisions
    }


def _line(row: dict[str, Any], parts: dict[str, Part]) -> KitLine:
    part = parts.get(row["part_code"])
    now = part.current if part else None
    quantity = int(row["quantity"])
    added = round(Decimal(str(row.get("added_h") or 0)) * 60)
    return KitLine(
        row=row,
        part=part,
        minutes=(quantity * now.labour_minutes if now else 0) + added,
        list_cents=quantity * now.list_price_cents if now and row["ownership"] != "agency" else 0,
    )


def left_behind(job: Job) -> list[tuple[KitUse, list[Difference]]]:
    """For each kit on the job: where its lines and circuits no longer are as they came."""
    build = build_of(job)
    found = []
    for use in job.kit_uses.select_related("revision__kit").order_by("id"):
        before = as_it_went_in(use)
        names = {table: {row["ref"] for row in before[table]} for table in before}
        after = {
            table: [row for row in build[table] if row["ref"] in names[table]] for table in before
        }
        found.append((use, differences(before, after)))
    return found
