"""Wrong passphrases of somebody who is signed in already."""

import pytest
from django.urls import reverse

from jobs.people.tries import MOST_TRIES

NEW = "a brand new test phrase"


def typed(current: str) -> dict[str, str]:
    return {"current": current, "passphrase": NEW, "again": NEW, "pin": "7391"}


@pytest.mark.parametrize("page", ["jobs:own_account", "jobs:own_pin"])
@pytest.mark.parametrize("between", [None, ""], ids=["in a row", "with blanks between"])
def test_the_fifth_wrong_passphrase_signs_out(client, technician, page, between) -> None:
    client.force_login(technician)
    for _ in range(MOST_TRIES - 1):
        assert client.post(reverse(page), typed("a wild guess")).status_code == 422
        if between is not None:
            assert client.post(reverse(page), typed(between)).status_code == 422
    assert client.post(reverse(page), typed("a wild guess")).url == reverse("jobs:sign_in")
    assert client.get(reverse(page)).status_code == 302
    technician.refresh_from_db()
    assert not technician.check_password(NEW)


def test_a_right_passphrase_starts_the_count_again(client, technician) -> None:
    client.force_login(technician)
    address = reverse("jobs:own_account")
    right = {**typed("a long test phrase"), "again": "something else"}
    for current in (*["a wild guess"] * 4, right["current"], *["a wild guess"] * 4):
        fields = right if current == right["current"] else typed(current)
        assert client.post(address, fields).status_code == 422
    assert client.get(address).status_code == 200
