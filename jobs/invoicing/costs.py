"""What a job was planned to cost and what was booked on it. Internal, for the office only."""

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from catalog.models import Ownership
from jobs.build_sheet.unit_lines import fewer_pieces, pieces_of_all
from jobs.buying.models import StockMove
from jobs.intake.models import Job
from jobs.quoting.contract import contract_of
from jobs.quoting.pricing import half_up, labour_cents
from jobs.stages.models import Stage, WorkEvent


@dataclass(frozen=True, kw_only=True, slots=True)
class Costs:
    """Work is valued at the rate it was sold at; parts at what they cost the shop."""

    contract_cents: int | None
    rate_cents: int
    planned_minutes: int
    booked_minutes: int
    planned_parts_cents: int
    picked_parts_cents: int
    parts_without_cost: list[str]

    @property
    def planned_work_cents(self) -> int:
        return labour_cents(minutes=self.planned_minutes, cents_per_hour=self.rate_cents)

    @property
    def booked_work_cents(self) -> int:
        return labour_cents(minutes=self.booked_minutes, cents_per_hour=self.rate_cents)

    @property
    def over_minutes(self) -> int:
        return self.booked_minutes - self.planned_minutes


def costs_of(job: Job) -> Costs:
    contract = contract_of(job)
    lines = list(
        job.lines.exclude(ownership=Ownership.AGENCY).select_related("part__part").order_by("ref")
    )
    units, fewer = max(1, job.units.count()), fewer_pieces(line.pk for line in lines)
    stages = Stage.objects.filter(unit__job=job)
    events = WorkEvent.objects.filter(stage__unit__job=job)
    picked = StockMove.objects.filter(job=job, line__isnull=False).values_list(
        "line__part__cost_cents", "quantity"
    )
    return Costs(
        contract_cents=contract.total_cents if contract else None,
        rate_cents=contract.quote.labour_rate_cents if contract else 0,
        planned_minutes=stages.aggregate(sum=Sum("planned_minutes"))["sum"] or 0,
        booked_minutes=events.aggregate(sum=Sum("minutes"))["sum"] or 0,
        planned_parts_cents=sum(
            pieces_of_all(line.quantity, units, fewer[line.pk]) * (line.part.cost_cents or 0)
            for line in lines
        ),
        picked_parts_cents=half_up(
            sum((Decimal(-pieces) * (cost or 0) for cost, pieces in picked), Decimal(0))
        ),
        parts_without_cost=[line.ref for line in lines if line.part.cost_cents is None],
    )
