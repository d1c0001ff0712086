"""Changing a circuit in place without JavaScript: what is refused is said on its own page."""

import pytest

from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("length", ["-999999999999999999999999999999.5", "10"])
def test_what_is_refused_without_javascript_is_said_and_breaks_nothing(client, designer, length):
    circuit = make_wired_job().circuits.get()
    client.force_login(designer)
    path = f"/jobs/{circuit.job.number}/circuits/{circuit.pk}/row/"
    cells = {"length_mm": length, "device_ma": length, "awg": "12", "version": "77"}
    page = client.post(path, cells, follow=True)
    assert page.status_code == 200
    assert b'role="alert"' in page.content or b"notice-bad" in page.content
    before = circuit.length_mm
    circuit.refresh_from_db()
    assert circuit.length_mm == before
