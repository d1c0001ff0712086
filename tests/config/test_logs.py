import logging
import sys
from io import StringIO

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.module_loading import import_string

from config.logs import LineFormatter
from jobs.intake.links import PACKET, make_link
from tests.factories import make_unit

TOKEN = "nEavQhJXCiQuiePToV6fmppPG7jAYJRZQaqxY-6dMJ0"


@pytest.fixture
def lines(settings):
    """What Django's own loggers say, written as the settings say."""
    line = settings.LOGGING["formatters"]["line"]
    written = StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(import_string(line["()"])())
    logging.getLogger("django").addHandler(handler)
    yield written.getvalue
    logging.getLogger("django").removeHandler(handler)


def test_refused_answers_to_a_link_are_logged_without_its_secret(manager, lines):
    unit = make_unit()
    _, token = make_link(
        job=unit.job, purpose=PACKET, subject_id=unit.pk, sent_to="Edda", by=manager
    )
    path = reverse("inspections:packet_open", args=[token])
    assert Client().post(path, {}).status_code == 422
    assert Client(enforce_csrf_checks=True).post(path, {}).status_code == 403
    written = lines()
    assert written.count("/p/[secret]") == 2
    assert token not in written


def test_format_cuts_the_secret_out_of_tracebacks_and_leaves_the_rest():
    try:
        raise ValueError(f"/q/{TOKEN}/ broke")
    except ValueError:
        record = logging.LogRecord(
            "x", logging.ERROR, __file__, 1, "Not found: /parts/LB-60/", (), sys.exc_info()
        )
    written = LineFormatter().format(record)
    assert "/parts/LB-60/" in written
    assert "/q/[secret]/ broke" in written
    assert TOKEN not in written
