"""The joined document is one document: one tree, one outline, links that jump."""

import re
from collections import Counter
from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from django.template.loader import render_to_string
from pikepdf import Array, Dictionary, Name

from jobs.documents.models import Document
from jobs.documents.pictures import assets_of
from jobs.documents.render import render
from jobs.documents.sections import prepare
from tests.papers import contents, made, opened, schedule, section

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text y="5">K1</text></svg>'
DRAWINGS = [{"svg": SVG, "alt": "One line"}]
SECTIONS = [
    section("cover", "Delivery packet", lead="For you", facts=[{"label": "Job", "value": "J-1"}]),
    schedule(1, rows=70),
    section(
        "drawing", "Drawing", drawings=[{"svg": SVG, "alt": "One line"}], paragraphs=["a", "b"]
    ),
    schedule(2, rows=5),
]


def elements(element: Any, parent: Any = None) -> Iterator[tuple[Any, Any]]:
    """Every structure element with its parent."""
    kids = element.get(Name.K)
    if parent is not None:
        yield element, parent
    for kid in kids if isinstance(kids, Array) else [kids]:
        if isinstance(kid, Dictionary) and Name.S in kid:
            yield from elements(kid, element)


def counts(pdf: pikepdf.Pdf) -> Counter[str]:
    return Counter(str(element.S) for element, _ in elements(pdf.Root.StructTreeRoot))


def whole_in_one(document: Document) -> pikepdf.Pdf:
    """The same sections rendered as one HTML page, the way it would be done without sections."""
    bodies, drawings = [], {}

    for number in range(len(document.context)):
        ready = prepare(document, number)
        html = render_to_string(ready.template, {**ready.context, "_drawings": drawings})
        bodies.append(re.search(r"<body[^>]*>(.*)</body>", html, re.S)[1])
    html = "".join(bodies)
    style = "<style>h1 { break-before: page }</style>"
    page = f'<!doctype html><html lang="en"><title>x</title>{style}<body>{html}</body></html>'
    assets = assets_of(page, drawings, {})
    return pikepdf.open(BytesIO(render(page, assets=assets, page_size="letter")))


@pytest.fixture
def document(db) -> Document:
    return made(
        SECTIONS,
        attachments=[
            {"name": "as-built.json", "media_type": "application/json", "text": '{"Łódź": 1}'}
        ],
    )


def test_same_elements_as_one_render(document: Document) -> None:
    joined, single = counts(opened(document)), counts(whole_in_one(document))
    assert joined == single
    assert joined["/Table"] >= 4 and joined["/Figure"] == 1 and joined["/TD"] > 300


def test_one_document_element_holds_everything(document: Document) -> None:
    pdf = opened(document)
    root = pdf.Root.StructTreeRoot
    assert [str(kid.S) for kid in root.K] == ["/Document"]
    assert root.K[0].P.objgen == root.objgen


def test_every_element_names_its_true_parent(document: Document) -> None:
    pdf = opened(document)
    root = pdf.Root.StructTreeRoot
    wrong = [
        str(element.S) for element, parent in elements(root) if element.P.objgen != parent.objgen
    ]
    assert wrong == []


def test_every_element_lies_on_a_page_of_the_document(document: Document) -> None:
    pdf = opened(document)
    pages = {page.objgen for page in pdf.pages}
    strangers = [
        e for e, _ in elements(pdf.Root.StructTreeRoot) if Name.Pg in e and e.Pg.objgen not in pages
    ]
    assert strangers == []
    assert sum(1 for thing in pdf.objects if _is_page(thing)) == len(pages)


def _is_page(thing: Any) -> bool:
    return isinstance(thing, Dictionary) and thing.get(Name.Type) == Name.Page


def parent_tree(pdf: pikepdf.Pdf) -> dict[int, Any]:
    flat = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
    return {int(key): value for key, value in zip(flat[::2], flat[1::2], strict=True)}


def test_every_marked_piece_of_a_page_is_in_the_tree(document: Document) -> None:
    pdf = opened(document)
    tree = parent_tree(pdf)
    assert list(tree) == sorted(tree)
    for page in pdf.pages:
        marked = {
            int(operands[1][Name.MCID])
            for operands, operator in pikepdf.parse_content_stream(page)
            if str(operator) == "BDC" and Name.MCID in operands[1]
        }
        owners = tree[int(page.obj.StructParents)]
        assert marked == set(range(len(owners)))
        for number, owner in enumerate(owners):
            assert owner.Pg.objgen == page.objgen
            assert number in [int(kid) for kid in owner.K if isinstance(kid, int)]


def test_everything_seen_is_marked_as_content_or_artifact(document: Document) -> None:
    for page in opened(document).pages:
        depth = 0
        for _, operator in pikepdf.parse_content_stream(page):
            depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(str(operator), 0)
            if str(operator) in ("Tj", "TJ", "Do", "S", "f"):
                assert depth == 1, operator
        assert depth == 0


def test_every_heading_says_what_it_heads(document: Document) -> None:
    """And so no cell has to name its headings: that would be most of the file's structure."""
    pdf = opened(document)
    assert Name.IDTree not in pdf.Root.StructTreeRoot
    rows = [e for e, _ in elements(pdf.Root.StructTreeRoot) if Name.TR == e.S]
    for row in rows:
        assert not any(Name.ID in e or Name.Headers in e.get(Name.A, {}) for e in row.K)
        scopes = [str(e.A.Scope) if Name.TH == e.S else "-" for e in row.K]
        rest = len(scopes) - 1
        assert scopes in (["/Column", *["/Column"] * rest], ["/Row", *["-"] * rest])
    assert len(rows) > 70


def test_a_line_of_text_belongs_to_its_cell(document: Document) -> None:
    pdf = opened(document)
    found = [e for e, _ in elements(pdf.Root.StructTreeRoot)]
    assert not [e for e in found if Name.Span == e.S]
    assert all(isinstance(kid, int) for e in found if Name.TD == e.S for kid in e.K)


def test_outline_has_one_entry_a_section(document: Document) -> None:
    pdf = opened(document)
    with pdf.open_outline() as outline:
        entries = [
            (item.title, pdf.pages.index(pikepdf.Page(item.destination[0])))
            for item in outline.root
        ]
    assert [title for title, _ in entries] == [one["title"] for one in SECTIONS]
    assert entries[0][1] == 0 and entries[1][1] == 1
    assert [page for _, page in entries] == sorted(page for _, page in entries)


def test_document_says_what_it_is(document: Document) -> None:
    pdf = opened(document)
    assert str(pdf.Root.Lang) == "en-US"
    assert bool(pdf.Root.MarkInfo.Marked) and bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
    assert str(pdf.docinfo["/Title"]) == document.title
    with pdf.open_metadata() as metadata:
        assert metadata["dc:title"] == document.title
        assert "pdfuaid:part" not in metadata  # a claim nobody has checked


def test_attachments_are_kept_word_for_word(document: Document) -> None:
    pdf = opened(document)
    assert list(pdf.attachments) == ["as-built.json"]
    file = pdf.attachments["as-built.json"].get_file()
    assert file.read_bytes().decode() == '{"Łódź": 1}'
    assert file.mime_type == "application/json"


def page_number(pdf: pikepdf.Pdf, page: Any) -> int:
    return pdf.pages.index(pikepdf.Page(page))


def jumps(pdf: pikepdf.Pdf, page: int) -> list[tuple[str, int]]:
    found = []
    for annotation in pdf.pages[page].obj.get(Name.Annots, ()):
        place = annotation.A.D if Name.A in annotation else annotation.Dest
        found.append((str(annotation.Contents), page_number(pdf, place[0])))
    return found


def test_contents_list_the_sheets_and_jump_to_them(db) -> None:
    pdf = opened(made([SECTIONS[0], contents(), *SECTIONS[1:]]))
    found = jumps(pdf, 1)
    assert [words for words, _ in found] == [
        f"Go to {one['title']}, sheet {page + 1}"
        for one, (_, page) in zip(SECTIONS[1:], found, strict=True)
    ]
    assert found[0][1] == 2


def test_links_are_in_the_tree_of_the_whole(db) -> None:
    pdf = opened(made([SECTIONS[0], contents(), *SECTIONS[1:]]))
    tree = parent_tree(pdf)
    links = pdf.pages[1].obj.Annots
    assert len(links) == 3
    for link in links:
        owner = tree[int(link.StructParent)]
        assert Name.Link == owner.S
        assert any(kid.Obj.objgen == link.objgen for kid in owner.K if isinstance(kid, Dictionary))


def test_join_is_byte_identical(document: Document) -> None:
    before = document.file_sha256
    Document.objects.all().delete()
    again = made(SECTIONS, attachments=document.attachments)
    assert again.pk != document.pk
    assert again.file_sha256 == before
