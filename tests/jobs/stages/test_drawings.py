import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import DesignRevision, Stage
from jobs.stages import actions
from jobs.stages.actions import StageError
from jobs.stages.drawings import acknowledge_drawing, drawing_words
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager)


def release(unit, number, note="Longer run"):
    return DesignRevision.objects.create(
        job=unit.job, number=number, note=note, made_by="Dan Birch", design={}, findings=[],
        digest=f"{number:064d}", released_by="Mona Ash", released_at=timezone.now(),
    )  # fmt: skip


@pytest.fixture
def begun(unit, technician):
    """S0 started from revision 1; revision 2 is released while it is in work."""
    release(unit, 1)
    stage = unit.stages.get(code="S0")
    actions.start_work(stage=stage, by=technician)
    release(unit, 2)
    return Stage.objects.get(pk=stage.pk)


def test_a_stage_keeps_the_revision_it_was_started_from(begun):
    assert begun.drawing == 1
    assert drawing_words(begun).startswith("Started on design revision 1; revision 2 is released")


def test_a_stage_on_the_newest_revision_says_nothing(unit, technician):
    release(unit, 1)
    stage = unit.stages.get(code="S0")
    actions.start_work(stage=stage, by=technician)
    stage.refresh_from_db()
    assert drawing_words(stage) == ""


def test_a_kept_revision_that_nobody_released_changes_nothing(unit, technician):
    stage = unit.stages.get(code="S0")
    actions.start_work(stage=stage, by=technician)
    revision = release(unit, 1)
    DesignRevision.objects.filter(pk=revision.pk).update(released_at=None, released_by="")
    stage.refresh_from_db()
    assert drawing_words(stage) == ""


def test_a_stage_is_not_finished_before_the_new_drawing_is_acknowledged(begun, technician):
    with pytest.raises(StageError, match="acknowledge it first"):
        actions.finish_stage(stage=begun, by=technician)
    assert acknowledge_drawing(stage=begun, by=technician, seen=2)
    actions.finish_stage(stage=begun, by=technician)
    assert begun.events.filter(note="Design revision 2 seen, was 1.").count() == 1


def test_a_finished_stage_is_not_signed_before_it_either(begun, technician, inspector, unit):
    acknowledge_drawing(stage=begun, by=technician, seen=2)
    actions.finish_stage(stage=begun, by=technician)
    release(unit, 3)
    with pytest.raises(StageError, match="revision 3 is released"):
        actions.sign_stage(stage=begun, by=inspector)


@pytest.mark.parametrize("seen", [0, 1, 3, 99])
def test_acknowledge_drawing_of_what_is_not_shown_changes_nothing(begun, technician, seen):
    assert acknowledge_drawing(stage=begun, by=technician, seen=seen) is None
    begun.refresh_from_db()
    assert begun.drawing == 1


def test_stage_drawing_shows_the_note_and_acknowledges_once(client, technician, begun, unit):
    client.force_login(technician)
    address = reverse("jobs:stage_drawing", args=[unit.job.number, unit.number, "S0"])
    page = client.get(address).content.decode()
    assert "Longer run" in page
    assert "Acknowledge revision 2" in page
    assert client.post(address, {"seen": "2"}).status_code == 302
    assert client.post(address, {"seen": "2"}).status_code == 302
    assert begun.events.filter(kind="note").count() == 1
    assert "Nothing was released" in client.get(address).content.decode()
    assert client.post(address, {"seen": "x" * 50}).status_code == 302


def test_stage_detail_says_that_the_drawing_is_new(client, technician, begun, unit):
    client.force_login(technician)
    address = reverse("jobs:stage_detail", args=[unit.job.number, unit.number, "S0"])
    assert "Look at what changed" in client.get(address).content.decode()
