import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from jobs.build_sheet.exchange.tables import TABLES
from jobs.build_sheet.exchange.write import build_of, json_bytes, workbook
from jobs.management.commands.import_build import Command
from jobs.models import Job
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture(params=["json", "xlsx"])
def build_file(request, tmp_path):
    job = make_wired_job()
    write = {"json": json_bytes, "xlsx": workbook}[request.param]
    path = tmp_path / f"b.{request.param}"
    path.write_bytes(write(build_of(job)))
    return path


def run(*args, **options):
    out, err = StringIO(), StringIO()
    call_command("import_build", *args, stdout=out, stderr=err, **options)
    return out.getvalue()


def test_import_build_starts_a_job_and_its_design_can_be_read(build_file):
    words = run("new", str(build_file), agency="Test District")
    assert "Added 1 supplies, 1 feeds, 1 lines, 1 circuits, 1 loads" in words
    made = Job.objects.get(agency__name="Test District")
    out = StringIO()
    call_command("design", made.number, "--json", stdout=out)
    data = json.loads(out.getvalue())
    assert set(data) == {"job", "design", "findings"}
    assert data["design"]["circuits"][0]["ref"] == "A-01"
    assert {"rule", "severity", "subject", "message", "measured", "limit"} <= set(
        data["findings"][0]
    )


def test_import_build_dry_run_keeps_nothing(build_file):
    words = run("new", str(build_file), agency="Test District", dry_run=True)
    assert "Dry run: nothing was changed." in words
    assert Job.objects.count() == 1


def test_import_build_names_each_problem(tmp_path, capsys):
    job = make_wired_job()
    build = build_of(job)
    build["circuits"][0]["awg"] = "11"
    path = tmp_path / "b.json"
    path.write_bytes(json_bytes(build))
    err = StringIO()
    with pytest.raises(CommandError, match=r"1 problem\. Nothing was changed"):
        call_command("import_build", job.number, str(path), stderr=err)
    assert "circuits[0].awg: Select a valid choice. 11" in err.getvalue()


def test_import_build_without_file_or_job_says_so(tmp_path):
    with pytest.raises(CommandError, match="cannot be read"):
        run("X", str(tmp_path / "nothing.json"))
    path = tmp_path / "b.json"
    path.write_bytes(b'{"format": "build", "version": 1}')
    with pytest.raises(CommandError, match="There is no job X"):
        run("X", str(path))
    path.write_bytes(b"x")
    with pytest.raises(CommandError, match="neither XLSX nor JSON"):
        run("X", str(path))


def test_the_help_lists_every_table_and_column():
    words = Command().create_parser("manage.py", "import_build").format_help()
    flat = " ".join(words.split())
    for table in TABLES:
        assert f"{table.name}: {', '.join(table.columns.values())}" in flat
