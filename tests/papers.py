"""Documents for tests: templates of their own and plain sections."""

from collections.abc import Sequence
from io import BytesIO
from typing import Any

import pikepdf
import pypdfium2

from jobs.documents.actions import request_document
from jobs.documents.files import document_path
from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents

COLUMNS = ("Circuit", "From", "To", "Current", "Gauge", "Result")


def section(key: str = "one", title: str = "Section one", **data: Any) -> dict[str, Any]:
    """A section of standard parts, as its data says."""
    return {"key": key, "title": title, "template": "print/section.html", "data": data}


def schedule(number: int = 1, *, rows: int = 30, edit: str = "") -> dict[str, Any]:
    """A section with one table."""
    table = [[f"{number}.{row}.{column}{edit}" for column in COLUMNS] for row in range(rows)]
    columns = [{"title": title, "width": 100 / len(COLUMNS)} for title in COLUMNS]
    caption = f"Panel +R{number}"
    tables = [{"caption": caption, "columns": columns, "rows": table}]
    return section(f"schedule-{number}", f"Circuit schedule {number}", tables=tables)


def contents() -> dict[str, Any]:
    return {
        "key": "contents",
        "title": "Contents",
        "template": "print/contents.html",
        "data": {},
    }


def ask(sections: Sequence[dict[str, Any]] | None = None, **changes: Any) -> Document:
    return request_document(
        **{
            "kind": "test",
            "title": "Test document",
            "file_name": "test.pdf",
            "sections": sections or [section()],
            **changes,
        }
    )


def made(sections: Sequence[dict[str, Any]] | None = None, **changes: Any) -> Document:
    """Ask and make it in this process; fails with the document's own sentence."""
    document = ask(sections, **changes)
    drain_documents()
    document.refresh_from_db()
    assert document.state == Document.State.DONE, document.error
    return document


def pdf_of(document: Document) -> bytes:
    return document_path(document.file_sha256).read_bytes()


def opened(document: Document) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(pdf_of(document)))


def page_texts(pdf: bytes) -> list[str]:
    with pypdfium2.PdfDocument(pdf) as opened_pdf:
        return [page.get_textpage().get_text_range() for page in opened_pdf]
