"""Running words: right on every sheet, invisible to a screen reader."""

import pikepdf
import pypdfium2
import pytest

from jobs.documents.frame import frame
from jobs.documents.models import Document
from tests.papers import contents, made, opened, page_texts, pdf_of, schedule, section

MARK = "Job J-0042 · Rev C · 20 Nov 2026"


def sheets(sections=None, **words) -> list[str]:
    document = made(sections or [section(), schedule(rows=60)], frame=frame(**words))
    return page_texts(pdf_of(document))


def test_every_sheet_is_numbered(db) -> None:
    texts = sheets([section(), contents(), schedule(rows=60)])
    assert len(texts) > 3
    for number, text in enumerate(texts, start=1):
        assert f"Sheet {number} of {len(texts)}" in text


def test_header_names_section_and_document_from_the_second_sheet_on(db) -> None:
    texts = sheets(mark=MARK)
    assert MARK not in texts[0]
    for text in texts[1:]:
        assert MARK in text
        assert "Circuit schedule 1" in text


def test_footer_says_the_state_on_every_sheet(db) -> None:
    assert all("AS-BUILT" in text for text in sheets(state="AS-BUILT"))


def test_draft_is_marked_on_every_sheet(db) -> None:
    texts = sheets(draft=True)
    assert all("DRAFT, not for delivery" in text and "DRAFT" in text for text in texts)


def test_released_document_has_no_draft_word(db) -> None:
    assert not any("DRAFT" in text for text in sheets(state="AS-BUILT"))


@pytest.mark.parametrize("word", ["Łódź Ω µ ≥ ½", "Ängström №", "北"])
def test_names_of_any_language_are_written(db, word: str) -> None:
    texts = sheets([section(title=word), section("two", word)], mark=f"Job {word}")
    assert f"Job {word}" in texts[1]


def test_long_title_makes_room_for_the_document(db) -> None:
    long = "A very long section title that goes on and on " * 4
    document = made([section(), section("two", long.strip(), lead="x")], frame=frame(mark=MARK))
    assert MARK in page_texts(pdf_of(document))[1]
    assert "…" in page_texts(pdf_of(document))[1]


def test_words_lie_within_the_page_margins(db) -> None:
    words = frame(mark=MARK, state="AS-BUILT")
    document = made([section(), section("two", wide=True)], frame=words)
    with pypdfium2.PdfDocument(pdf_of(document)) as pdf:
        for page in pdf:
            text = page.get_textpage()
            boxes = [text.get_charbox(place) for place in range(text.count_chars())]
            assert min(left for left, *_ in boxes) > 40
            assert max(right for _, _, right, _ in boxes) < page.get_width() - 40


def artifacts(page: pikepdf.Page) -> list[str]:
    return [
        str(operands[0])
        for operands, operator in pikepdf.parse_content_stream(page)
        if str(operator) == "BDC" and str(operands[0]) == "/Artifact"
    ]


def test_words_are_artifacts(db) -> None:
    document = made(frame=frame(mark=MARK, draft=True))
    pdf = opened(document)
    assert len(artifacts(pdf.pages[0])) == 2


def test_labels_carry_nothing_but_themselves(db, settings, tmp_path) -> None:
    (tmp_path / "label.html").write_text(
        '<html lang="en"><title>x</title><body class="label-57x32"><p>=K1</p></body>'
    )
    ours = settings.TEMPLATES[0]
    settings.TEMPLATES = [{**ours, "DIRS": [tmp_path, *ours["DIRS"]]}]
    label = {"key": "label", "title": "Label", "template": "label.html", "data": {}}
    texts = page_texts(pdf_of(made([label], frame=frame(draft=True))))
    assert [text.strip() for text in texts] == ["=K1"]


def test_another_revision_renders_no_section_again(db, monkeypatch) -> None:
    made(frame=frame(mark="Rev A", draft=True))
    monkeypatch.setattr("jobs.documents.sections.render", None)
    document = made(frame=frame(mark="Rev B", state="AS-BUILT"))
    assert Document.objects.count() == 2
    assert "AS-BUILT" in page_texts(pdf_of(document))[0]
