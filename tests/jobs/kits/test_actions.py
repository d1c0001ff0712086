import pytest
from django.utils import timezone

from catalog.models import Part
from jobs.kits.actions import KitError, add_kit, make_kit, start_from
from jobs.kits.standing import left_behind, sums_of
from jobs.models import AuditEvent, Circuit, ControlLogic, KitRevision, Requirement
from tests.factories import make_job, make_line, make_part, make_wired_job
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit(manager):
    job = make_wired_job()
    make_line(job=job, ref="L02", part=make_part(code="HD-1", labour_minutes=60), added_minutes=-15)
    return make_kit(
        job=job, code="WARN", name="Grille warning", lines={"L01", "L02"}, rules=["R01"], by=manager
    )


def test_a_kit_knows_its_hours_and_price_today(kit):
    sums = sums_of(kit)
    assert sums.minutes == 4 * 45 + 60 - 15
    assert sums.list_cents == 4 * 14_800 + 14_800


def test_a_kit_on_an_empty_job_brings_lines_circuits_and_rules(kit, manager):
    job = make_job()
    assert add_kit(job=job, revision=kit, seen=0, by=manager) == []
    assert list(job.lines.values_list("ref", "added_minutes")) == [("L01", 0), ("L02", -15)]
    circuit = job.circuits.get()
    assert (circuit.ref, circuit.feed.supply.ref, circuit.loads.get().quantity) == (
        "A-01", "MAIN", 4,
    )  # fmt: skip
    assert [rule["name"] for rule in job.logic_versions.get().logic["rules"]]
    assert AuditEvent.objects.filter(job=job.number, verb="imported").count() == 1


def test_a_second_kit_takes_free_names_and_the_same_feed(kit, manager):
    job = make_job()
    add_kit(job=job, revision=kit, seen=0, by=manager)
    refused = add_kit(job=job, revision=kit, seen=1, by=manager)
    assert [line.ref for line in job.lines.order_by("ref")] == ["L01", "L02", "L03", "L04"]
    assert job.feeds.count() == 1
    assert job.circuits.get(ref="A-02").loads.get().line.ref == "L03"
    assert "R01" in refused[0]


def test_a_double_click_adds_a_kit_once(kit, manager):
    job = make_job()
    add_kit(job=job, revision=kit, seen=0, by=manager)
    with pytest.raises(KitError, match="after you opened this page"):
        add_kit(job=job, revision=kit, seen=0, by=manager)
    assert job.lines.count() == 2


def test_a_kit_with_a_retired_part_adds_nothing_and_names_it(kit, manager):
    Part.objects.filter(code="HD-1").update(retired=True)
    job = make_job()
    with pytest.raises(KitError, match="HD-1 is retired"):
        add_kit(job=job, revision=kit, seen=0, by=manager)
    assert (job.lines.count(), job.feeds.count(), job.kit_uses.count()) == (0, 0, 0)


def test_rules_go_into_the_draft_and_never_into_a_released_version(kit, manager):
    job = make_job()
    add_kit(job=job, revision=kit, seen=0, by=manager)
    first = job.logic_versions.get()
    from django.utils import timezone

    type(first).objects.update(released_at=timezone.now(), released_by="Dan Birch")
    other = make_kit(job=job, code="SCENE", name="Scene", lines={"L01"}, rules=["R02"], by=manager)
    add_kit(job=job, revision=other, seen=1, by=manager)
    assert job.logic_versions.count() == 2
    first.refresh_from_db()
    assert not [r for r in first.logic["rules"] if r["name"].startswith("R02")]


def test_what_a_job_changed_since_is_told_line_by_line(kit, manager):
    job = make_job()
    add_kit(job=job, revision=kit, seen=0, by=manager)
    job.lines.filter(ref="L01").update(quantity=6)
    Circuit.objects.filter(job=job).update(awg="14")
    ((use, changes),) = left_behind(job)
    assert use.revision == kit
    assert [(one.name, one.word, one.cells[0].column) for one in changes] == [
        ("L01", "changed", "quantity"), ("A-01", "changed", "awg"),
    ]  # fmt: skip


def test_an_untouched_kit_has_nothing_to_tell_under_its_new_names(kit, manager):
    job = make_wired_job()
    add_kit(job=job, revision=kit, seen=0, by=manager)
    ((_, changes),) = left_behind(job)
    assert changes == []


def test_a_known_code_becomes_the_next_revision_only_when_asked(kit, manager):
    job = make_wired_job()
    with pytest.raises(KitError, match="next revision"):
        make_kit(job=job, code="WARN", name="Other", lines={"L01"}, by=manager)
    again = make_kit(
        job=job, code="WARN", name="Other", lines={"L01"}, by=manager, next_revision=True
    )
    assert again.number == 2
    assert len(KitRevision.objects.get(pk=kit.pk).content["lines"]) == 2


def test_a_kit_without_a_line_is_refused(manager):
    with pytest.raises(KitError, match="at least one"):
        make_kit(job=make_wired_job(), code="X", name="X", lines=set(), by=manager)


def test_a_whole_job_starts_another(manager):
    source, job = make_wired_job(), make_job()
    start_from(job=job, source=source, by=manager)
    job.refresh_from_db()
    assert job.copied_from == source
    assert job.circuits.get().loads.get().line.job == job
    assert not Requirement.objects.filter(job=job).exists()
    with pytest.raises(KitError, match="has a build already"):
        start_from(job=job, source=source, by=manager)
    with pytest.raises(KitError, match="no build line"):
        start_from(job=make_job(), source=make_job(), by=manager)


@pytest.mark.parametrize(
    ("released", "came", "words"),
    [
        ([True], "1.0", "Control logic 1.0 came as it is released on"),
        ([True, False], "1.0", "Its newer draft 1.1 stayed behind."),
        ([False, False], "1.1", "is released; its draft 1.1 came"),
    ],
)
def test_the_newest_released_logic_comes_over_and_it_is_said(manager, released, came, words):
    source, job = make_wired_job(), make_job()
    for number, done in enumerate(released):
        marks = {"released_at": timezone.now(), "released_by": "Mona Ash"} if done else {}
        ControlLogic.objects.create(
            job=source, version=f"1.{number}", logic=small_data(), sha256=str(number), **marks
        )
    assert words in start_from(job=job, source=source, by=manager)
    copied = job.logic_versions.get()
    assert (copied.version, copied.is_released) == (came, False)


def test_a_job_without_logic_brings_none(manager):
    assert start_from(job=make_job(), source=make_wired_job(), by=manager) == ""
