from io import BytesIO

import pikepdf
import pytest
from django.urls import reverse

from inspections.manuals.forms import LARGEST_BYTES
from inspections.models import Manual
from jobs.documents.attached import attached_bytes, attached_path
from tests.factories import make_part
from tests.pictures import upload

pytestmark = pytest.mark.django_db


def pdf(text="Fit with care", **lock):
    with pikepdf.new() as made:
        made.add_blank_page()
        made.docinfo["/Title"] = text
        target = BytesIO()
        made.save(target, **(lock or {"deterministic_id": True}))
    return target.getvalue()


@pytest.fixture
def part(shop):
    return make_part(code="SRN-1")


def url(name, part, *args):
    return reverse(f"inspections:{name}", args=[part.code, *args])


def given(data, **fields):
    return {"kind": "fitting", "title": "Fitting", "file": upload("a.pdf", data), **fields}


def test_manual_new_keeps_the_bytes_and_gives_them_back_to_everybody(
    client, part, designer, technician
):
    client.force_login(designer)
    data = pdf()
    assert client.post(url("manual_new", part), given(data)).status_code == 302
    manual = Manual.objects.get()
    assert attached_bytes(manual.sha256) == data
    client.force_login(technician)
    assert "Fitting (PDF)" in client.get(url("manual_list", part)).content.decode()
    answer = client.get(url("manual_file", part, manual.pk))
    assert b"".join(answer.streaming_content) == data
    assert answer["Content-Disposition"].startswith("attachment")
    assert "sandbox" in answer["Content-Security-Policy"]
    assert client.post(url("manual_new", part), given(data)).status_code == 403
    assert client.post(url("manual_remove", part, manual.pk)).status_code == 403


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"<html>" + b"x" * 100, "does not begin like a PDF"),
        (b"", "empty"),
        (b"%PDF-1.7 %%EOF", "no PDF is that short"),
        (pdf()[:-80], "has no end"),
        (pdf(encryption=pikepdf.Encryption(owner="a", user="b")), "is locked"),
        (b"%PDF-1.7" + b" " * LARGEST_BYTES + b"%%EOF", "at most 20 MB"),
    ],
    ids=["html", "empty", "short", "cut", "locked", "large"],
)
def test_manual_new_says_what_is_wrong_with_a_file_and_keeps_the_title(
    client, part, manager, data, sentence
):
    client.force_login(manager)
    answer = client.post(url("manual_new", part), given(data, title="Kept words"))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert "Kept words" in page
    assert not Manual.objects.exists()


def test_manual_new_twice_says_that_it_is_there(client, part, manager):
    client.force_login(manager)
    client.post(url("manual_new", part), given(pdf()))
    again = client.post(url("manual_new", part), given(pdf()))
    assert again.status_code == 422
    assert "has this very file already" in again.content.decode()


def test_manual_remove_twice_leaves_one_mark(client, part, manager):
    client.force_login(manager)
    client.post(url("manual_new", part), given(pdf()))
    manual = Manual.objects.get()
    for _ in range(2):
        assert client.post(url("manual_remove", part, manual.pk)).status_code == 302
    assert "No document yet" in client.get(url("manual_list", part)).content.decode()
    assert attached_path(manual.sha256).is_file()  # packets that carry it still need it
    assert client.post(url("manual_new", part), given(pdf())).status_code == 302


def test_manual_of_another_part_is_not_found(client, part, manager):
    client.force_login(manager)
    client.post(url("manual_new", part), given(pdf()))
    manual = Manual.objects.get()
    other = make_part(code="OTHER")
    assert client.get(url("manual_file", other, manual.pk)).status_code == 404
    assert client.post(url("manual_remove", other, manual.pk)).status_code == 404
    assert client.get(reverse("inspections:manual_list", args=["NO-SUCH"])).status_code == 404
    assert client.get(url("manual_new", part)).status_code == 405
