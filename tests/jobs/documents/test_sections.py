"""Sections: what decides their look, and what people type stays words."""

import pytest

from jobs.documents.frame import frame
from jobs.documents.models import Document
from jobs.documents.sections import make, prepare
from jobs.documents.tasks import drain_documents
from jobs.photos.actions import store_photo
from jobs.photos.files import original_path
from jobs.photos.tasks import drain_photos
from tests import pictures
from tests.papers import ask, contents, made, page_texts, pdf_of, schedule, section
from tests.pictures import upload

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 9"><text y="7">{}</text></svg>'
HOSTILE = [
    '<img src="file:///etc/passwd" alt="x">',
    '<script>document.write("x")</script>',
    '"><style>@import url(http://127.0.0.1:9/)</style>',
    "{{ section.title }}{% include 'print/_sheet.html' %}",
    '<link rel="attachment" href="file:///etc/passwd">',
    "</title></body></html>",
    "&lt;b&gt; &amp; 'quotes' \"double\"",
    "javascript:alert(1) http://127.0.0.1:9/x file:///etc/passwd",
]


@pytest.fixture
def photo(db):
    photo = store_photo(file=upload("a.jpg", pictures.jpeg()), by=None)
    drain_photos()
    photo.refresh_from_db()
    return photo


def shown(photo, caption: str = "Tray") -> dict:
    return section(photos=[{"sha256": photo.sha256, "alt": "A tray", "caption": caption}])


def key(one: dict, **changes) -> str:
    return prepare(Document(context=[one], frame=frame(), **changes), 0).key


def test_equal_sections_have_equal_keys_in_any_document(db) -> None:
    first = Document(context=[section(lead="a")], frame=frame(mark="Rev A", draft=True))
    other = Document(context=[contents(), section(lead="a")], frame=frame(mark="Rev B"))
    assert prepare(first, 0).key == prepare(other, 1).key


def test_what_is_seen_decides_the_key(db) -> None:
    keys = {
        key(section(lead="a")),
        key(section(lead="b")),
        key(section(title="Other", lead="a")),
        prepare(Document(context=[section(lead="a")], frame=frame(page_size="A4")), 0).key,
        prepare(Document(context=[section(lead="a")], frame=frame()), 0, entries=[1]).key,
    }
    assert len(keys) == 5


def test_bytes_of_a_photo_decide_the_key(photo) -> None:
    before = key(shown(photo))
    type(photo).objects.update(preview_sha256="0" * 64)
    assert key(shown(photo)) != before


def test_one_edited_row_renders_one_section(db, monkeypatch) -> None:
    made([contents(), *(schedule(n, rows=8) for n in range(5))])
    rendered = []

    def watched(one):
        rendered.append(one.words)
        return make(one)

    monkeypatch.setattr("jobs.documents.sharing.make", watched)
    edited = [schedule(n, rows=8, edit="x" if n == 3 else "") for n in range(5)]
    document = made([contents(), *edited])
    assert rendered == ["Section 5 of 6: Circuit schedule 3"]
    assert "3.0.Circuitx" in "".join(page_texts(pdf_of(document)))


@pytest.mark.parametrize("text", HOSTILE)
def test_what_people_type_is_printed_as_words(photo, text: str) -> None:
    drawing = {"svg": SVG.format("K1"), "alt": text, "caption": text}
    table = {"caption": text, "columns": [{"title": text}, {"title": "b"}], "rows": [[text, text]]}
    hazard = {"signal": "notice", "hazard": text, "consequence": text, "avoid": text}
    document = made(
        [
            section(
                title=text,
                lead=text,
                facts=[{"label": text, "value": text}],
                paragraphs=[text],
                hazards=[hazard],
                tables=[table],
                drawings=[drawing],
                photos=[{"sha256": photo.sha256, "alt": text, "caption": text}],
            )
        ],
        title=text,
        frame=frame(mark=text, state=text),
    )
    seen = "".join("".join(page_texts(pdf_of(document))).split())
    assert seen.count("".join(text.split())) >= 10
    assert "root:x:" not in seen


def test_photo_is_printed_from_its_preview_without_metadata(db) -> None:
    photo = store_photo(file=upload("a.jpg", pictures.turned_jpeg(6)), by=None)
    data = pdf_of(made([shown(photo)]))
    assert b"Camera of nobody" not in data
    assert data.count(b"/DCTDecode") == 1 or b"\xff\xd8\xff" in data


def test_photo_that_cannot_be_decoded_is_told_on_paper(db) -> None:
    photo = store_photo(file=upload("half.jpg", pictures.half_jpeg()), by=None)
    text = page_texts(pdf_of(made([shown(photo)])))[0]
    assert "This photo cannot be shown." in text
    assert "The original file is kept." in text


def failed(one: dict) -> str:
    document = ask([one])
    drain_documents()
    document.refresh_from_db()
    assert document.state == Document.State.FAILED
    return document.error


def test_damaged_photo_is_refused(photo) -> None:
    path = original_path(photo.sha256)
    path.chmod(0o640)
    data = bytearray(path.read_bytes())
    data[500] ^= 1
    path.write_bytes(data)
    assert "was changed on disk" in failed(shown(photo))


def test_missing_photo_is_refused(photo) -> None:
    original_path(photo.sha256).unlink()
    assert "is missing from the evidence folder" in failed(shown(photo))


def test_picture_without_words_is_a_mistake_of_the_template(photo) -> None:
    sentence = failed(section(photos=[{"sha256": photo.sha256, "alt": " ", "caption": ""}]))
    assert "has no words saying what it shows" in sentence
