"""A packet for measuring: one table a section, six photos a sheet; and the same for its peers."""

import re
import time
from collections import Counter
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any

import pikepdf
from django.core.files.uploadedfile import SimpleUploadedFile
from django.template.loader import render_to_string
from PIL import Image, ImageDraw, ImageFilter

from jobs.documents.actions import request_document
from jobs.documents.files import document_path
from jobs.documents.models import Document
from jobs.documents.sections import prepare
from jobs.photos.actions import store_photo
from jobs.photos.files import original_path
from jobs.photos.models import Photo
from jobs.photos.tasks import drain_photos

State = Document.State
ROWS_A_SHEET, PHOTOS_A_SHEET, COLUMNS = 34, 6, 10
_WORDS = "feed lamp relay siren rear left upper panel node mast heads scene inlet dock"
WORDS = _WORDS.split()
# What one writes first: columns that find their own width, a border round every cell.
PLAIN = """
@page { size: letter; margin: 24mm 16mm 20mm; @bottom-right { content: counter(page) } }
body { font: 10pt sans-serif } h1 { break-before: page }
table { border-collapse: collapse; width: 100%; font-size: 8.5pt } caption { text-align: left }
th, td { border: 1px solid #888; padding: 1mm 1.5mm; text-align: left } tr { break-inside: avoid }
.photos { display: flex; flex-wrap: wrap } .photo { width: 48%; margin: 0 1% 4mm 0 }
.photo img { width: 100%; height: 62mm; object-fit: contain }
"""


def photos(count: int) -> list[str]:
    """Stored photos of 1600 x 1200, each with grain as a camera leaves it; their names."""
    random = Random(7)
    grain = Image.effect_noise((1600, 1200), 60).filter(ImageFilter.GaussianBlur(1.2))
    base, names = grain.convert("RGB"), []
    for number in range(count):
        image = base.copy()
        pen = ImageDraw.Draw(image)
        for _ in range(12):
            x, y = random.randrange(1500), random.randrange(1100)
            colour = tuple(random.randrange(256) for _ in range(3))
            pen.rectangle((x, y, x + 300, y + 200), fill=colour)
        file = BytesIO()
        image.save(file, "JPEG", quality=85)
        upload = SimpleUploadedFile(f"{number}.jpg", file.getvalue())
        names.append(store_photo(file=upload, by=None).sha256)
    while Photo.objects.filter(preview=Photo.Preview.QUEUED).exists():
        drain_photos()
    return names


def section(key: str, title: str, **data: Any) -> dict[str, Any]:
    return {"key": key, "title": title, "template": "print/section.html", "data": data}


def sections(rows: int, names: list[str], edit: str = "") -> list[dict[str, Any]]:
    """Cover, contents, tables of one sheet each, photos; `edit` is one cell in the middle."""
    random, found = Random(11), []
    columns = [{"title": title.title(), "width": 100 / COLUMNS} for title in WORDS[:COLUMNS]]
    cells = [
        [f"{random.choice(WORDS)} {row}.{column}" for column in range(COLUMNS)]
        for row in range(rows)
    ]
    if edit:
        cells[rows // 2][3] = edit
    for number, start in enumerate(range(0, rows, ROWS_A_SHEET), start=1):
        table = {
            "caption": f"Panel {number}",
            "columns": columns,
            "rows": cells[start : start + ROWS_A_SHEET],
        }
        found.append(section(f"table-{number}", f"Circuit schedule {number}", tables=[table]))
    for number, start in enumerate(range(0, len(names), PHOTOS_A_SHEET), start=1):
        shown = [
            {"sha256": name, "alt": "A place", "caption": f"Check {number} · place · person"}
            for name in names[start : start + PHOTOS_A_SHEET]
        ]
        found.append(section(f"photos-{number}", f"Photos {number}", photos=shown))
    front = section(
        "cover", "Delivery packet", lead="Measured", facts=[{"label": "Job", "value": "J"}]
    )
    contents = {
        "key": "contents",
        "title": "Contents",
        "template": "print/contents.html",
        "data": {},
    }
    return [front, contents, *found]


def asked(content: list[dict[str, Any]], title: str) -> Document:
    return request_document(kind="bench", title=title, file_name="b.pdf", sections=content)


def finished(pk: int) -> Document:
    """Wait for a document that the workers make, without taking their time."""
    row = Document.objects.filter(pk=pk)
    while row.values_list("state", flat=True).get() in (State.QUEUED, State.RUNNING):
        time.sleep(0.005)
    document = row.get()
    if document.state != State.DONE:
        raise RuntimeError(document.error)
    return document


def one_page(document: Document, style: str = PLAIN) -> str:
    """The same sections as one HTML file with plain styles and the photos as they were taken."""
    bodies = []
    for number, part in enumerate(document.context):
        entries = [
            {"key": one["key"], "title": one["title"], "sheet": 1} for one in document.context[2:]
        ]
        more = {"entries": entries} if part["key"] == "contents" else {}
        ready = prepare(document, number, **more)
        html = render_to_string(ready.template, {**ready.context, "_drawings": {}})
        bodies.append(re.search(r"<body[^>]*>(.*)</body>", html, re.S)[1])
    text = re.sub(r'href="sheet:[^"]*"', 'href="#"', "".join(bodies))
    text = re.sub(
        r'src="asset:([0-9a-f]{64})"', lambda m: f'src="{original_path(m[1]).as_uri()}"', text
    )
    head = f'<meta charset="utf-8"><title>x</title><style>{style}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{text}</body></html>'


def plain_render(html: str) -> bytes:
    """One tagged render by WeasyPrint, collector on, nothing tuned."""
    from weasyprint import HTML

    return HTML(string=html, base_url=str(Path.cwd())).write_pdf(
        pdf_tags=True, pdf_variant="pdf/ua-1"
    )


def file_of(document: Document) -> bytes:
    return document_path(document.file_sha256).read_bytes()


def tags(pdf: bytes) -> Counter[str]:
    """Structure elements by kind, without the wrappers that each renderer has its own habit of."""
    found: Counter[str] = Counter()
    with pikepdf.open(BytesIO(pdf)) as opened:
        for thing in opened.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/StructElem":
                found[str(thing.S)] += 1
    return found


def page_count(pdf: bytes) -> int:
    with pikepdf.open(BytesIO(pdf)) as opened:
        return len(opened.pages)
