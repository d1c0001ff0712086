"""What is made ready before serving, and that a shop of its own is left alone."""

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from inspections.demo.rows import PASSPHRASE
from jobs.models import Job, Shop
from tests.factories import make_job

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def own_static_folder(settings, tmp_path: Path) -> None:
    settings.STATIC_ROOT = tmp_path / "static"


def prepare(*options: str) -> str:
    out = StringIO()
    call_command("prepare", *options, stdout=out)
    return out.getvalue()


def test_prepare_leaves_a_shop_of_its_own_alone(shop) -> None:
    said = prepare()
    assert Shop.objects.get().name == shop.name
    assert not Job.objects.exists()
    assert PASSPHRASE not in said


def test_prepare_empty_loads_nothing() -> None:
    assert prepare("--empty") == ""
    assert not Shop.objects.exists()


def test_prepare_collects_styles_and_fonts(settings) -> None:
    prepare("--empty")
    found = {path.suffix for path in settings.STATIC_ROOT.rglob("*") if path.is_file()}
    assert {".css", ".js", ".ttf"} <= found


def test_prepare_names_the_demo_people_of_a_demo_shop(shop) -> None:
    make_job(number="KS-1042")
    said = prepare()
    assert PASSPHRASE in said
    assert "wren       Wren Okello (Inspector)" in said
