"""Which design revision a stage is worked from, and that somebody saw a newer one."""

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import IntegerField, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone

from jobs.audit.record import record
from jobs.build_sheet.models import DesignRevision
from jobs.stages.models import Stage, WorkEvent

IN_HAND = (Stage.State.WORKING, Stage.State.FINISHED)


def released(job_id: int) -> QuerySet[DesignRevision]:
    return DesignRevision.objects.filter(job_id=job_id, released_at__isnull=False)


def newest_number(job_id: int) -> int:
    """The number of the newest released design revision, 0 while none is."""
    last = released(job_id).order_by("number").last()
    return last.number if last else 0


def with_newest(stages: QuerySet[Stage]) -> QuerySet[Stage]:
    """Stages that know the newest released revision of their job, in the same query."""
    newest = (
        DesignRevision.objects.filter(job=OuterRef("unit__job"), released_at__isnull=False)
        .order_by("-number")
        .values("number")[:1]
    )
    return stages.annotate(
        newest_drawing=Coalesce(Subquery(newest, output_field=IntegerField()), 0)
    )


def unseen(stage: Stage) -> list[DesignRevision]:
    """Released revisions that came after the stage was started and that nobody acknowledged."""
    if stage.state not in IN_HAND or stage.drawing is None:
        return []
    return list(released(stage.unit.job_id).filter(number__gt=stage.drawing).order_by("number"))


def drawing_words(stage: Stage) -> str:
    """The sentence for a stage worked from an older revision; empty when it is the newest."""
    newest = getattr(stage, "newest_drawing", None)
    if newest is None:
        newest = newest_number(stage.unit.job_id)
    if stage.state not in IN_HAND or stage.drawing is None or stage.drawing >= newest:
        return ""
    began = f"design revision {stage.drawing}" if stage.drawing else "no released design"
    return f"Started on {began}; revision {newest} is released now and not acknowledged."


@transaction.atomic
def acknowledge_drawing(*, stage: Stage, by: User, seen: int) -> WorkEvent | None:
    """Somebody looked at what changed. None when that revision was acknowledged already."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    before = stage.drawing
    if before is None or seen <= before or seen > newest_number(stage.unit.job_id):
        return None
    Stage.objects.filter(pk=stage.pk).update(drawing=seen)
    note = f"Design revision {seen} seen, was {before or 'none'}."
    event = WorkEvent.objects.create(
        stage=stage, kind=WorkEvent.Kind.NOTE, person=by, at=timezone.now(), note=note
    )
    record(
        by=by,
        verb="acknowledged",
        subject=stage,
        job=stage.unit.job.number,
        sentence=f"{stage} on {stage.unit.number}: {note}",
    )
    return event
