"""What all open jobs still need of every part, against stock and orders. A few queries in all."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count, F, Min, Q, Sum

from catalog.models import Ownership, Part
from jobs.build_sheet.models import BuildLine
from jobs.build_sheet.unit_lines import fewer_pieces, pieces_of_all
from jobs.buying.allocate import Need, Share, allocate
from jobs.buying.models import Purchase, PurchaseLine, StockMove
from jobs.intake.models import Job
from jobs.stages.models import Stage

BUILT = (Job.State.APPROVED, Job.State.BUILDING)


@dataclass(frozen=True, kw_only=True, slots=True)
class PartNeed:
    """One part over all jobs. `order_by` is the day an order must leave to be here in time."""

    part: Part
    shares: list[Share]
    in_stock: int
    on_order: int

    @property
    def needed(self) -> int:
        return sum(share.need.pieces for share in self.shares)

    @property
    def short(self) -> int:
        return sum(share.short for share in self.shares)

    @property
    def by(self) -> date | None:
        """The first day on which pieces are needed that nobody has ordered."""
        days = [share.need.by for share in self.shares if share.short and share.need.by]
        return min(days, default=None)

    @property
    def order_by(self) -> date | None:
        current = self.part.current
        days = current.lead_days if current else None
        return self.by - timedelta(days=days) if self.by and days is not None else None


def stock_of(parts: Iterable[int] | None = None) -> dict[int, int]:
    rows = StockMove.objects.all() if parts is None else StockMove.objects.filter(part__in=parts)
    return dict(rows.values_list("part").annotate(pieces=Sum("quantity")).order_by())


def ordered_of(parts: Iterable[int] | None = None) -> dict[int, int]:
    """Pieces on orders that went out and did not come yet."""
    rows = PurchaseLine.objects.filter(purchase__state=Purchase.State.SENT)
    if parts is not None:
        rows = rows.filter(part__in=parts)
    found = rows.values_list("part").annotate(pieces=Sum(F("quantity") - F("received")))
    return dict(found.order_by())


def open_needs(jobs: Q | None = None) -> dict[int, list[Need]]:
    """By part: what build lines of jobs that are being built still lack, all units together."""
    lines = BuildLine.objects.filter(
        jobs or Q(), job__state__in=BUILT, ownership=Ownership.SHOP
    ).exclude(job__state=Job.State.CANCELLED)
    rows = list(
        lines.values_list(
            "id", "ref", "quantity", "stage", "job_id", "job__number", "job__promised_on",
            "part__part_id",
        )
    )  # fmt: skip
    job_ids = {row[4] for row in rows}
    units = dict(
        Job.objects.filter(jobs_in(job_ids)).values_list("id").annotate(n=Count("units")).order_by()
    )
    picked, fewer = picked_of({row[0] for row in rows}), fewer_pieces(row[0] for row in rows)
    starts = _starts(job_ids)
    found: dict[int, list[Need]] = defaultdict(list)
    for line, ref, quantity, stage, job, number, promised, part in rows:
        wanted = pieces_of_all(quantity, max(1, units.get(job, 1)), fewer[line])
        pieces = wanted - picked.get(line, 0)
        if pieces > 0:
            by = starts.get((job, stage)) or promised
            found[part].append(Need(job=number, ref=ref, pieces=pieces, by=by, stage=stage))
    return found


def jobs_in(ids: set[int]) -> Q:
    """Few ids are named; many mean every job that is being built."""
    return Q(pk__in=ids) if len(ids) < 500 else Q(state__in=BUILT)


def picked_of(lines: set[int]) -> dict[int, int]:
    """Pieces that left the stock for a build line."""
    rows = StockMove.objects.filter(line__isnull=False)
    if len(lines) < 500:
        rows = rows.filter(line__in=lines)
    found = rows.values_list("line").annotate(pieces=Sum("quantity")).order_by()
    return {line: -pieces for line, pieces in found}


def _starts(jobs: set[int]) -> dict[tuple[int, str], date]:
    rows = Stage.objects.filter(unit__job__state__in=BUILT, planned_start__isnull=False)
    if len(jobs) < 500:
        rows = rows.filter(unit__job__in=jobs)
    found = rows.values_list("unit__job_id", "code").annotate(first=Min("planned_start")).order_by()
    return {(job, code): first for job, code, first in found}


def part_needs(text: str = "") -> list[PartNeed]:
    """Parts that open jobs need, shortages first, those that must be ordered soonest on top."""
    needs = open_needs()
    parts = Part.objects.filter(current__isnull=False).select_related("current", "source__supplier")
    if text:
        parts = parts.filter(Q(code__icontains=text) | Q(current__description__icontains=text))
    wanted = [part for part in parts if part.pk in needs]
    stock, ordered = stock_of(), ordered_of()
    found = [_need(part, needs[part.pk], stock, ordered) for part in wanted]
    return sorted(found, key=_urgency)


def _need(
    part: Part, needs: list[Need], stock: Mapping[int, int], ordered: Mapping[int, int]
) -> PartNeed:
    here, coming = stock.get(part.pk, 0), ordered.get(part.pk, 0)
    shares = allocate(needs, in_stock=here, on_order=coming)
    return PartNeed(part=part, shares=shares, in_stock=here, on_order=coming)


def _urgency(one: PartNeed) -> tuple[bool, date, str]:
    return one.short == 0, one.order_by or one.by or date.max, one.part.code


def shares_of_job(job: Job) -> dict[str, Share]:
    """What each build line of one job gets, seen among all jobs that want the same parts."""
    parts = set(job.lines.values_list("part__part_id", flat=True))
    needs = open_needs(Q(part__part__in=parts))
    stock, ordered = stock_of(parts), ordered_of(parts)
    found = {}
    for part, wanted in needs.items():
        shares = allocate(wanted, in_stock=stock.get(part, 0), on_order=ordered.get(part, 0))
        found |= {share.need.ref: share for share in shares if share.need.job == job.number}
    return found
