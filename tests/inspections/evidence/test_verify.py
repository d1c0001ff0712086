from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from inspections.checklists.actions import (
    decide_check,
    record_result,
    reopen_check,
    void_result,
)
from inspections.checklists.generate import generate_checks
from inspections.demo.cards import card
from inspections.evidence.verify import verify_all, verify_unit
from inspections.models import Release
from jobs.models import Photo, Stage, Unit
from jobs.photos.files import original_path
from tests.conftest import guard
from tests.factories import make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager, inspector):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    photo = card("VIN plate", "SR-4", inspector)
    record_result(
        check=unit.checks.get(ref="ID.VIN"), by=inspector, reading=reading(), photos=[photo]
    )
    result = record_result(
        check=unit.checks.get(ref="ROAD"), by=inspector, reading=reading("fail", reason="Rattle")
    )
    void_result(result=result, by=inspector, reason="Wrong unit")
    reopen_check(check=unit.checks.get(ref="ID.VIN"), by=inspector, reason="Plate replaced")
    return unit


def tamper(sql):
    """What somebody with the database file could do: the guard is dropped first."""
    guard(up=False)
    with connection.cursor() as cursor:
        cursor.execute(sql)


def test_verify_unit_proves_an_untouched_chain(unit):
    assert verify_unit(unit) is None
    assert verify_all() == []


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("UPDATE inspections_result SET pressed='pass' WHERE sequence=2", "entry 2"),
        ("UPDATE inspections_result SET reason='x' WHERE sequence=3", "entry 3"),
        ("DELETE FROM inspections_resultphoto", "entry 1"),
        ("UPDATE inspections_result SET digest='0' WHERE sequence=2", "entry 2"),
        ("UPDATE inspections_result SET verdict='pass' WHERE sequence=2", "entry 2"),
    ],
)
def test_verify_unit_names_the_first_changed_entry(unit, sql, words):
    tamper(sql)
    assert words in verify_unit(unit)


def test_verify_unit_names_a_removed_entry(unit):
    """Entry 1 is the oldest to which no other refers; its photo goes with it."""
    tamper("DELETE FROM inspections_resultphoto")
    tamper("DELETE FROM inspections_result WHERE sequence=1")
    assert (
        verify_unit(unit) == f"unit {unit.number}, entry 1: missing; the next one found is entry 2."
    )


def test_verify_all_names_an_entry_cut_off_at_the_end(unit):
    """The chain has no gap then; the state that the entry left behind tells."""
    tamper("DELETE FROM inspections_result WHERE sequence=4")
    assert verify_unit(unit) is None
    assert verify_all() == [
        f"unit {unit.number}, check ID.VIN: is kept as “Check again”, but its entries say “Pass”."
    ]


def test_verify_unit_names_two_swapped_entries(unit):
    for old, new in ((2, 99), (3, 2), (99, 3)):
        tamper(f"UPDATE inspections_result SET sequence={new} WHERE sequence={old}")
    assert (
        verify_unit(unit) == f"unit {unit.number}, entry 2: does not continue the entry before it."
    )


def test_verify_unit_names_two_entries_whose_content_was_swapped(unit):
    """The rows keep their places in the chain, but what they say has changed hands."""
    tamper(
        "UPDATE inspections_result SET pressed = CASE sequence WHEN 1 THEN 'fail' ELSE 'pass' END, "
        "verdict = CASE sequence WHEN 1 THEN 'fail' ELSE 'pass' END WHERE sequence IN (1, 2)"
    )
    assert verify_unit(unit) == f"unit {unit.number}, entry 1 (ID.VIN): its content was changed."


def test_verify_unit_names_a_chain_that_was_written_anew_after_release(unit, inspector):
    """Whoever can compute every link still cannot change what was signed."""
    last = unit.results.order_by("sequence").last()
    Release.objects.create(
        unit=unit, released_by=inspector, released_at=timezone.now(),
        chain_sequence=last.sequence, chain_head="0" * 64, statement="x",
    )  # fmt: skip
    unit = Unit.objects.get(pk=unit.pk)
    assert "entry 4: is not the entry that was signed at release" in verify_unit(unit)


def test_verify_unit_covers_decisions_late_answers_and_devices(unit, inspector, technician):
    check = unit.checks.get(ref="ROAD")
    record_result(check=check, by=inspector, reading=reading(device="Bay 1"))
    record_result(check=check, by=technician, reading=reading("fail", reason="Rattle"))
    keeps = unit.results.get(sequence=5)
    decide_check(check=check, by=technician, keeps=keeps, seen=6, reason="Driven")
    Stage.objects.filter(pk=check.stage_id).update(state="signed")
    record_result(check=check, by=inspector, reading=reading(base_sequence=7))
    assert verify_all() == []
    for sql, entry in (
        ("UPDATE inspections_result SET late=false WHERE sequence=8", 8),
        ("UPDATE inspections_result SET keeps_id=NULL WHERE sequence=7", 7),
        ("UPDATE inspections_result SET device='Bay 2' WHERE sequence=5", 5),
    ):
        tamper(sql)
        assert f"entry {entry} " in verify_unit(unit)


def test_verify_photos_name_a_changed_byte_and_a_missing_file(unit):
    path = Path(original_path(Photo.objects.get().sha256))
    path.chmod(0o600)
    content = bytearray(path.read_bytes())
    content[100] ^= 1
    path.write_bytes(bytes(content))
    assert "its bytes were changed" in verify_all()[0]
    path.unlink()
    assert "its file is missing" in verify_all()[0]


def test_evidence_command_says_proved_or_exits_with_the_count(unit):
    out = StringIO()
    call_command("evidence", "--verify", stdout=out)
    assert out.getvalue() == "Proved: 4 entries, 1 photos and 0 released packets.\n"
    tamper("UPDATE inspections_result SET reason='x' WHERE sequence=3")
    with pytest.raises(CommandError, match="1 problems in 4 entries"):
        call_command("evidence", "--verify", stdout=StringIO())
