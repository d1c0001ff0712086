"""What a web process does when it starts."""

import gc
import sys

import pytest

from config.web import settle


@pytest.fixture
def unfrozen():
    yield
    gc.unfreeze()


def test_settle_knows_every_address_and_keeps_what_stays_out_of_collections(unfrozen):
    before = gc.get_freeze_count()
    settle()
    assert "jobs.build_sheet.cell_views" in sys.modules
    assert gc.get_freeze_count() > before + 10_000
