from io import BytesIO

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from PIL import ImageFilter

from inspections.as_built.label import address, label_of, tidy
from inspections.as_built.sheets import KINDS, SheetError, print_sheet
from inspections.models import Sheet
from jobs.documents.tasks import drain_documents
from jobs.models import Circuit
from tests.factories import make_unit, make_wired_job, make_working_unit
from tests.papers import page_texts, pdf_of

pytestmark = pytest.mark.django_db
MM = 72 / 25.4


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


def printed(unit, key, by):
    document = print_sheet(unit=unit, key=key, by=by).document
    drain_documents()
    document.refresh_from_db()
    assert document.state == "done", document.error
    return pdf_of(document)


def raster(pdf, page, dpi=300):
    return pypdfium2.PdfDocument(pdf)[page].render(scale=dpi / 72).to_pil()


@pytest.mark.slow
@pytest.mark.parametrize(("page", "size_mm", "code_mm"), [(0, (57, 32), 22), (1, (100, 50), 30)])
def test_qr_labels_decode_from_the_raster_at_300_dpi(unit, manager, page, size_mm, code_mm):
    pdf = printed(unit, "qr", manager)
    opened = pypdfium2.PdfDocument(pdf)
    assert opened.get_page_size(page) == pytest.approx([size * MM for size in size_mm], abs=0.6)
    image = raster(pdf, page)
    worn = image.filter(ImageFilter.GaussianBlur(1.5))
    for one in (image, worn):
        (found,) = zxingcpp.read_barcodes(one)
        assert found.text == address(label_of(unit).code)
    edge = found.position.top_right.x - found.position.top_left.x
    modules = 37 - 8 if len(found.text) <= 32 else 45 - 8
    assert edge / 300 * 25.4 == pytest.approx(code_mm * modules / (modules + 8), rel=0.12)


@pytest.mark.slow
def test_qr_labels_say_the_shop_and_nothing_about_the_vehicle(unit, manager):
    texts = "".join(page_texts(printed(unit, "qr", manager)))
    assert "Test Works" in texts
    assert tidy(texts).count(label_of(unit).code) >= 2
    for secret in (unit.number, unit.vin[-8:], unit.job.number, unit.job.agency.name):
        assert secret not in texts


@pytest.mark.slow
@pytest.mark.parametrize("key", ["legends-100x50", "legends-57x32"])
def test_legends_fit_their_labels_in_letters_for_arms_length(unit, manager, key):
    unit.job.feeds.update(name="Warning and control of everything")
    feed = unit.job.feeds.get()
    for number in range(2, 13):
        Circuit.objects.create(
            job=unit.job, feed=feed, ref=f"A-{number:02}", device_kind="fuse_blade",
            designation=f"Very long designation number {number}", device_ma=25_000,
            awg="12", length_mm=3000, channel=str(number), label=f"A-{number:02}",
        )  # fmt: skip
    pdf = printed(unit, key, manager)
    texts = page_texts(pdf)
    rows = [text.count("A-") for text in texts]
    assert sum(rows) == 12
    assert len(texts) == {"legends-100x50": 2, "legends-57x32": 3}[key]
    joined = "".join(texts)
    assert joined.index("A-09") < joined.index("A-10") < joined.index("A-12")
    assert _largest_text(pdf) >= 11


def _largest_text(pdf):
    """Points of the largest letters on the first page; the rows are set in them."""
    page = pypdfium2.PdfDocument(pdf)[0]
    text = page.get_textpage()
    at = text.get_text_range().index("A-")
    return max(text.get_charbox(at + n)[3] - text.get_charbox(at + n)[1] for n in (0, 3)) / 0.64


@pytest.mark.slow
def test_wire_labels_come_twice(unit, manager):
    text = "".join(page_texts(printed(unit, "wires", manager)))
    assert text.count("A-01") == 2


@pytest.mark.slow
def test_stage_sheet_has_at_most_two_cautions_a_page(unit, manager):
    stage = unit.stages.order_by("position").first()
    one = {"word": "WARNING", "hazard": "H", "consequence": "C", "avoid": "A"}
    stage.cautions = [{**one, "hazard": f"Hazard {number}."} for number in range(5)]
    stage.save()
    texts = page_texts(printed(unit, f"stage-{stage.code}", manager))
    assert [text.count("WARNING") for text in texts[:3]] == [2, 2, 1]


@pytest.mark.slow
@pytest.mark.parametrize("key", [*KINDS, "stage-S6"])
def test_every_sheet_is_tagged_and_has_its_fonts_inside(unit, manager, key):
    pdf = pikepdf.open(BytesIO(printed(unit, key, manager)))
    assert "/StructTreeRoot" in pdf.Root
    for page in pdf.pages:
        for font in page.Resources.Font.values():
            descriptor = font.DescendantFonts[0].FontDescriptor
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor


def test_print_sheet_twice_is_one_document(unit, manager):
    first, second = (print_sheet(unit=unit, key="pick", by=manager) for _ in range(2))
    assert first.document == second.document
    assert Sheet.objects.count() == 1


def test_print_sheet_of_nothing_says_so(shop, manager):
    bare = make_unit()
    for key in ("wires", "pick", "legends-57x32", "stage-S99"):
        with pytest.raises(SheetError, match="nothing to print yet"):
            print_sheet(unit=bare, key=key, by=manager)


def test_tidy_reads_what_people_write():
    assert tidy("o3k7-abcd i1l1") == "03K7ABCD1111"


def test_label_of_is_made_once(shop):
    unit = make_unit(job=make_wired_job())
    assert label_of(unit) == label_of(unit)
    assert len(label_of(unit).code) == 12
