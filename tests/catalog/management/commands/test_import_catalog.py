from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from catalog.columns import BY_NAME
from catalog.management.commands.import_catalog import Command
from catalog.models import Part, PartImport
from tests.catalog.hostile import HOSTILE, csv_of
from tests.factories import make_part

pytestmark = pytest.mark.django_db


def run(tmp_path: Path, content: bytes, *options: str) -> str:
    path, said = tmp_path / "parts.csv", StringIO()
    path.write_bytes(content)
    call_command("import_catalog", str(path), *options, stdout=said, stderr=said)
    return said.getvalue()


def test_import_catalog_applies_and_tells_field_by_field(tmp_path):
    make_part(code="P-1")
    said = run(tmp_path, csv_of("P-1,151", header="code,list_usd"))
    assert "P-1 (row 2): changed" in said
    assert "List price: $148.00 -> $151.00" in said
    assert "0 new, 1 changed, 0 unchanged; 0 other parts stay as they are." in said
    current = Part.objects.get().current
    assert (current.number, current.created_by) == (2, "import_catalog")
    assert PartImport.objects.get().applied_by == "import_catalog"


def test_import_catalog_dry_run_changes_nothing(tmp_path):
    said = run(tmp_path, csv_of("NEW,scene,Lamp,10,1"), "--dry-run")
    assert "NEW (row 2): new" in said and "nothing was changed" in said
    assert not Part.objects.exists() and not PartImport.objects.exists()


def test_import_catalog_twice_changes_nothing_the_second_time(tmp_path):
    for _ in range(2):
        said = run(tmp_path, csv_of("NEW,scene,Lamp,10,1"), "--by", "Dan Birch")
    assert "0 new, 0 changed, 1 unchanged" in said
    assert Part.objects.get().current.created_by == "Dan Birch"


def test_import_catalog_names_wrong_cells_and_fails(tmp_path):
    said, path = StringIO(), tmp_path / "parts.csv"
    path.write_bytes(csv_of("P-1,bulb,Lamp,10,1", "P-2,scene,Lamp,10,1"))
    with pytest.raises(CommandError, match=r"^1 wrong cell\. Nothing was changed\.$"):
        call_command("import_catalog", str(path), stdout=said, stderr=said)
    assert "Row 2, kind: bulb is not one of" in said.getvalue()
    assert not Part.objects.exists()


@pytest.mark.parametrize("kind", ["no bytes", "six megabytes", "an entity bomb", "prose"])
def test_import_catalog_refuses_hostile_files(tmp_path, kind):
    with pytest.raises(CommandError):
        run(tmp_path, HOSTILE[kind][0])


def test_import_catalog_names_a_file_that_is_not_there(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(CommandError, match="cannot be read"):
            call_command("import_catalog", str(path))


def test_import_catalog_help_names_every_column():
    text = Command().create_parser("manage.py", "import_catalog").format_help()
    assert all(f"  {name} " in text for name in BY_NAME)
