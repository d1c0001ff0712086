import threading
from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from catalog.actions import (
    apply_import,
    create_part,
    keep_import,
    plan_of_import,
    restore_part,
    retire_part,
    revise_part,
)
from catalog.datasheet import of_revision
from catalog.errors import CatalogError, NothingChanged, StaleImport, StalePart
from catalog.models import CurrentDraw, Part, PartImport, PartRevision
from catalog.plan import plan_of
from tests.catalog.hostile import csv_of
from tests.factories import make_datasheet, make_part


def kept(*rows: str, header: str = "code,kind,description,list_usd,hours") -> PartImport:
    content = csv_of(*rows, header=header)
    plan = plan_of(name="parts.csv", content=content)
    assert plan.problems == ()
    return keep_import(name="parts.csv", content=content, plan=plan, by="Dan Birch")


def digest(row: PartImport) -> str:
    return plan_of_import(row).digest


def test_create_part_starts_at_revision_one(designer):
    sheet = make_datasheet()
    part = create_part(code="P-1", datasheet=sheet, by=designer)
    assert (part.current.number, part.current.created_by) == (1, "Dan Birch")
    assert of_revision(part.current) == sheet


def test_create_part_refuses_a_code_twice_and_leaves_nothing(db):
    make_part(code="P-1")
    with pytest.raises(CatalogError, match="P-1 is in the catalog already"):
        create_part(code="P-1", datasheet=make_datasheet(), by="Dan")
    assert PartRevision.objects.count() == 1


def test_revise_part_leaves_the_older_revision_as_it_was(db):
    part = make_part(code="P-1")
    before = of_revision(part.current)
    new = make_datasheet(list_price_cents=20_000, draws=[{"average_ma": 5, "peak_ma": 6}])
    revision = revise_part(
        part=part, base_number=1, datasheet=new, reason="Issue 2", by="Dan Birch"
    )
    part.refresh_from_db()
    assert part.current == revision
    assert (revision.number, revision.reason, revision.created_by) == (2, "Issue 2", "Dan Birch")
    assert of_revision(revision) == new
    assert of_revision(part.revisions.get(number=1)) == before


def test_revise_part_on_an_older_revision_is_refused(db):
    part = make_part(code="P-1")
    revise_part(part=part, base_number=1, datasheet=make_datasheet(list_price_cents=1), by="Mona")
    with pytest.raises(StalePart, match="after revision 1"):
        revise_part(
            part=part, base_number=1, datasheet=make_datasheet(list_price_cents=2), by="Dan"
        )
    part.refresh_from_db()
    assert part.current.list_price_cents == 1
    assert part.revisions.count() == 2


def test_revise_part_on_a_revision_that_never_was_is_refused(db):
    with pytest.raises(CatalogError, match="no revision 9"):
        revise_part(part=make_part(), base_number=9, datasheet=make_datasheet(), by="Dan")


def test_revise_part_without_a_change_makes_no_revision(db):
    part = make_part(code="P-1")
    with pytest.raises(NothingChanged):
        revise_part(part=part, base_number=1, datasheet=make_datasheet(), by="Dan")
    assert part.revisions.count() == 1


def test_revise_part_files_under_another_kind_without_a_revision(db):
    part = make_part(code="P-1")
    revise_part(part=part, base_number=1, datasheet=make_datasheet(kind="scene"), by="Dan")
    part.refresh_from_db()
    assert (part.kind, part.current.number) == ("scene", 1)


@pytest.mark.slow
def test_of_several_people_at_once_exactly_one_revises(append_only, shared_database):
    part = make_part(code="P-1")
    gate, outcomes = threading.Barrier(4), []

    def revise(cents: int) -> None:
        sheet = make_datasheet(list_price_cents=cents)
        gate.wait()
        try:
            revise_part(part=part, base_number=1, datasheet=sheet, by="Dan")
            outcomes.append("made")
        except StalePart:
            outcomes.append("told")
        finally:
            connection.close()

    threads = [threading.Thread(target=revise, args=(cents,)) for cents in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["made", "told", "told", "told"]
    assert part.revisions.count() == 2


def test_retire_and_restore_say_who_and_when(manager):
    part, other = make_part(code="P-1"), make_part(code="P-2")
    retire_part(part=part, replaced_by=other, by=manager)
    part.refresh_from_db()
    assert (part.retired, part.retired_by, part.replaced_by) == (True, "Mona Ash", other)
    with pytest.raises(CatalogError, match="retired already"):
        retire_part(part=part, by=manager)
    restore_part(part=part, by=manager)
    part.refresh_from_db()
    assert (part.retired, part.retired_at, part.replaced_by) == (False, None, None)
    with pytest.raises(CatalogError, match="in use already"):
        restore_part(part=part, by=manager)


def test_apply_import_makes_revises_files_and_retires(db):
    make_part(code="P-1")
    make_part(code="P-2")
    row = kept(
        "P-1,warning,Better head,150,0.75,no",
        "P-2,scene,Grille head,148,0.75,yes",
        "NEW,scene,Lamp,10,1,no",
        header="code,kind,description,list_usd,hours,retired",
    )
    apply_import(kept=row, digest=digest(row), by="Mona Ash")
    first, second, new = Part.objects.order_by("id")
    assert (first.current.number, first.current.description) == (2, "Better head")
    assert first.current.reason == "Import of parts.csv"
    assert first.current.draws.get().average_ma == 900
    assert (second.kind, second.retired, second.retired_by) == ("scene", True, "Mona Ash")
    assert second.current.number == 1
    assert (new.code, new.current.number, new.current.created_by) == ("NEW", 1, "Mona Ash")


def test_apply_import_keeps_the_tally_and_lets_the_bytes_go(db):
    row = kept("NEW,scene,Lamp,10,1")
    apply_import(kept=row, digest=digest(row), by="Mona Ash")
    row.refresh_from_db()
    assert (row.new_count, row.changed_count, row.applied_by) == (1, 0, "Mona Ash")
    assert bytes(row.content) == b""


def test_apply_import_twice_applies_once(db):
    row = kept("NEW,scene,Lamp,10,1")
    seen = digest(row)
    again = PartImport.objects.get(pk=row.pk)
    apply_import(kept=row, digest=seen, by="Mona Ash")
    for stale in (again, PartImport.objects.get(pk=row.pk)):
        with pytest.raises(CatalogError):
            apply_import(kept=stale, digest=seen, by="Mona Ash")
    assert Part.objects.count() == PartRevision.objects.count() == 1


def test_apply_import_is_told_when_the_catalog_moved_in_between(db):
    part = make_part(code="P-1")
    row = kept("P-1,Mind the cable", header="code,note")
    seen = digest(row)
    revise_part(part=part, base_number=1, datasheet=make_datasheet(list_price_cents=1), by="Dan")
    with pytest.raises(StaleImport, match="changed after this dry run"):
        apply_import(kept=row, digest=seen, by="Mona")
    row.refresh_from_db()
    assert row.applied_at is None and part.revisions.count() == 2


def test_a_part_made_after_planning_stops_the_whole_import(db, monkeypatch):
    row = kept("A,scene,Lamp,10,1", "B,scene,Lamp,10,1")
    plan = plan_of_import(row)
    make_part(code="B")
    monkeypatch.setattr("catalog.actions.plan_of_import", lambda kept: plan)
    with pytest.raises(StaleImport):
        apply_import(kept=row, digest=plan.digest, by="Mona")
    assert list(Part.objects.values_list("code", flat=True)) == ["B"]
    row.refresh_from_db()
    assert row.applied_at is None


def test_a_revision_made_after_planning_stops_the_whole_import(db, monkeypatch):
    part = make_part(code="P-1")
    row = kept("P-1,scene,Lamp,10,1", "NEW,scene,Lamp,10,1")
    plan = plan_of_import(row)
    revise_part(part=part, base_number=1, datasheet=make_datasheet(list_price_cents=1), by="Dan")
    monkeypatch.setattr("catalog.actions.plan_of_import", lambda kept: plan)
    with pytest.raises(StaleImport):
        apply_import(kept=row, digest=plan.digest, by="Mona")
    assert Part.objects.count() == 1 and part.revisions.count() == 2


def test_damaged_bytes_are_never_applied(db):
    row = kept("NEW,scene,Lamp,10,1")
    seen = digest(row)
    row.content = bytes(row.content).replace(b"10", b"99")
    with pytest.raises(StaleImport, match="damaged"):
        apply_import(kept=row, digest=seen, by="Mona")
    assert not Part.objects.exists()


def test_a_failure_half_way_leaves_nothing(db, monkeypatch):
    row = kept("A,scene,Lamp,10,1", "B,scene,Lamp,10,1")
    seen = digest(row)

    def fail(*args, **kwargs):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(CurrentDraw.objects, "bulk_create", fail)
    with pytest.raises(RuntimeError):
        apply_import(kept=row, digest=seen, by="Mona")
    assert not Part.objects.exists() and not PartRevision.objects.exists()
    row.refresh_from_db()
    assert row.applied_at is None


def test_old_dry_runs_are_thrown_away_and_applied_ones_stay(db):
    old, applied = kept("A,scene,Lamp,10,1"), kept("B,scene,Lamp,10,1")
    apply_import(kept=applied, digest=digest(applied), by="Mona")
    PartImport.objects.update(uploaded_at=timezone.now() - timedelta(days=8))
    new = kept("C,scene,Lamp,10,1")
    assert set(PartImport.objects.values_list("pk", flat=True)) == {applied.pk, new.pk}
    assert old.pk not in (applied.pk, new.pk)
