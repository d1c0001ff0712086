from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from inspections.checklists.actions import record_result, reopen_check, void_result
from inspections.checklists.generate import generate_checks
from inspections.demo.cards import card
from inspections.evidence.verify import verify_all, verify_unit
from jobs.models import Photo
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
    tamper(
        "DELETE FROM inspections_result WHERE sequence=2 AND id NOT IN "
        "(SELECT voids_id FROM inspections_result WHERE voids_id IS NOT NULL)"
    )
    assert verify_unit(unit) is None  # the entry is referred to, so it is still there
    tamper("UPDATE inspections_result SET sequence=9 WHERE sequence=4")
    assert (
        verify_unit(unit) == f"unit {unit.number}, entry 4: missing; the next one found is entry 9."
    )


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
    assert out.getvalue() == "Proved: 4 entries and 1 photos.\n"
    tamper("UPDATE inspections_result SET reason='x' WHERE sequence=3")
    with pytest.raises(CommandError, match="1 problems in 4 entries"):
        call_command("evidence", "--verify", stdout=StringIO())
