"""The packet as a whole, printed: structure, words, and nothing of the reader's typed as markup."""

from io import BytesIO
from itertools import pairwise

import pikepdf
import pytest
from django.template.loader import render_to_string
from django.utils import timezone

from inspections.handover.actions import build_packet
from inspections.manuals.actions import add_manual
from jobs.documents.sections import prepare
from jobs.documents.tasks import drain_documents
from jobs.models import Shop
from tests.factories import make_unit, make_wired_job
from tests.inspections.handover.full import NAMES, fill_with, full_unit
from tests.inspections.manuals.test_views import pdf
from tests.papers import page_texts, pdf_of
from tests.pictures import upload

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

HEADINGS = {"/H1", "/H2", "/H3", "/Caption"}
WANTED = [
    "cover",
    "contents",
    "emergency",
    "summary",
    "build-record",
    "walk-round",
    "equipment",
    "single-line",
    "single-line-a",
    "schedule-a",
    "legends",
    "pins",
    "grounds",
    "routes",
    "hazards",
    "weights",
    "placards",
    "qc-1",
    "qc-2",
    "qc-3",
    "deviations",
    "care",
    "attachments",
]


def printed(unit, by):
    document = build_packet(unit=unit, by=by).document
    drain_documents()
    document.refresh_from_db()
    assert document.state == "done", document.error
    return document


def pages_of(element):
    """Pages on which an element and everything inside it lies."""
    found = {element.Pg.objgen} if "/Pg" in element and _has_content(element) else set()
    for kid in _kids(element):
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            found |= pages_of(kid)
    return found


def _kids(element):
    kids = element.get("/K", [])
    return list(kids) if isinstance(kids, pikepdf.Array) else [kids]


def _has_content(element):
    return any(not (isinstance(k, pikepdf.Dictionary) and "/S" in k) for k in _kids(element))


def walk(element):
    yield element
    for kid in _kids(element):
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield from walk(kid)


@pytest.fixture
def unit(manager):
    return full_unit(by=manager, circuits=32)


def test_packet_as_printed_is_whole_and_can_be_read_aloud(unit, manager):
    """One packet, made once: its making is what takes the time."""
    document = printed(unit, manager)
    data = pdf_of(document)
    pdf, texts = pikepdf.open(BytesIO(data)), page_texts(data)
    keys = [one["key"] for one in document.context]
    assert [key for key in WANTED if key not in keys] == []
    _no_section_is_empty(document, pdf, texts)
    _language_title_and_data(pdf)
    _no_row_is_cut_and_no_heading_alone(pdf)
    _every_font_is_inside(pdf)
    words = " ".join(" ".join(texts).split())
    assert [name for name in NAMES.split() if name not in words] == []
    for text in texts:
        lines = [line.strip() for line in text.splitlines()]
        assert sum(line in ("DANGER", "WARNING", "CAUTION") for line in lines) <= 2


def _no_section_is_empty(document, pdf, texts):
    with pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
    assert titles == [one["title"] for one in document.context]
    for number, text in enumerate(texts):
        assert len(text) > 150 or "Photo of" in text, f"sheet {number + 1} holds only: {text}"


def _language_title_and_data(pdf):
    assert str(pdf.Root.Lang) == "en-US"
    assert pdf.Root.ViewerPreferences.DisplayDocTitle
    assert str(pdf.docinfo["/Title"]) == "Delivery packet SR-4, revision 1"
    names = {name.rpartition("SR-4-")[2] for name in pdf.attachments}
    assert names == {"circuits.csv", "equipment.csv", "as-built.json"}


def _no_row_is_cut_and_no_heading_alone(pdf):
    root = pdf.Root.StructTreeRoot.K[0]
    order = {page.objgen: number for number, page in enumerate(pdf.pages)}
    elements = list(walk(root))
    rows = [element for element in elements if element.S == "/TR"]
    assert len(rows) > 150
    assert [row for row in rows if len(pages_of(row)) > 1] == []
    for element in elements:
        siblings = [k for k in _kids(element) if isinstance(k, pikepdf.Dictionary) and "/S" in k]
        for heading, after in pairwise(siblings):
            if str(heading.S) in HEADINGS and pages_of(after):
                last = max(order[page] for page in pages_of(heading))
                first = min(order[page] for page in pages_of(after))
                assert first == last, f"{heading.S} on sheet {last + 1} stands alone"


def _every_font_is_inside(pdf):
    for page in pdf.pages:
        for font in page.Resources.Font.values():
            descriptor = font.DescendantFonts[0].FontDescriptor
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor


@pytest.mark.parametrize(("size", "points"), [("letter", (612, 792)), ("A4", (595.3, 841.9))])
def test_packet_takes_the_shops_paper(manager, size, points):
    Shop.objects.update(page_size=size)
    bare = make_unit(job=make_wired_job(), number="SR-4")
    pdf = pikepdf.open(BytesIO(pdf_of(printed(bare, manager))))
    box = [float(edge) for edge in pdf.pages[0].mediabox]
    assert box[2:] == pytest.approx(points, abs=0.5)


HOSTILE = (
    '</td></table><img src="http://192.0.2.1/x.png"><style>@import "file:///etc/passwd";'
    "td{background:url(http://192.0.2.1/y)}</style><script>alert(1)</script>{{ 7|add:7 }}&lt;"
)


def test_nothing_typed_reaches_the_renderer_as_markup_or_address(manager):
    unit = full_unit(by=manager)
    job = unit.job
    line = job.lines.get()
    file = upload("a.pdf", pdf())
    add_manual(part=line.part.part, kind="use", title="Use", file=file, by=manager)
    rows = [
        job, job.agency, unit, line, line.part, Shop.objects.get(), *job.requirements.all(),
        *job.supplies.all(), *job.feeds.all(), *job.circuits.all(), *unit.places.all(),
        *unit.origins.all(), *unit.trainings.all(), *unit.punch_items.all(),
        *[photo for place in unit.places.all() for photo in place.photos.all()],
        *[pin for place in unit.places.all() for pin in place.pins.all()],
        *unit.stages.all(), *unit.checks.all(), *line.part.part.manuals.all(),
    ]  # fmt: skip
    kept = (
        "number", "rule_set", "awg", "key", "ref", "code", "vin", "page_size", "signed_by",
        "sha256", "removed_by",
    )  # fmt: skip
    filled = {
        f"{type(row).__name__}.{name}" for row in rows for name in fill_with(row, HOSTILE, but=kept)
    }
    assert len(filled) > 40
    unit.trainings.update(signed_by=HOSTILE[:120], signed_at=timezone.now())
    unit.stages.update(
        cautions=[{"word": "WARNING", "hazard": HOSTILE, "consequence": HOSTILE, "avoid": HOSTILE}]
    )
    unit = type(unit).objects.get(pk=unit.pk)
    document = printed(unit, manager)  # any address that is opened stops the section
    text = "".join(page_texts(pdf_of(document)))
    assert "192.0.2.1" in text
    assert "alert(1)" in text
    assert "root:" not in text
    for number, section in enumerate(document.context):
        if section["template"] == "print/contents.html":
            continue
        html = html_of(document, number)
        for markup in ("<script", '<img src="http', '@import "', "</table><img"):
            assert markup not in html, section["key"]


def html_of(document, number):
    section = prepare(document, number)
    return render_to_string(section.template, {**section.context, "_drawings": {}})
