"""The renderer: the right letters in the right faces, nothing from outside, no picture lost."""

import os
import subprocess
import sys
from io import BytesIO

import pikepdf
import pytest

from jobs.documents.render import Asset, RenderError, render
from tests import pictures
from tests.papers import page_texts

NAMES = "Łódź Ω µ ≥ ½ Ängström ≤ × ° − – — … “ø” ş č"
FACES = {"Sheet", "Sheet-Bold", "Sheet-Mono", "Sheet-Mono-Bold"}
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10">{}</svg>'


def page(body: str) -> str:
    return f'<!doctype html><html lang="en"><title>Test</title><body>{body}</body></html>'


def pdf(body: str, assets: dict[str, Asset] | None = None, size: str = "letter") -> bytes:
    return render(page(body), assets=assets or {}, page_size=size)


def drawing(content: str) -> dict[str, Asset]:
    return {"a" * 64: Asset(media_type="image/svg+xml", data=SVG.format(content).encode())}


SHOWN = f'<img src="asset:{"a" * 64}" alt="A drawing">'


def faces(data: bytes) -> set[str]:
    with pikepdf.open(BytesIO(data)) as opened:
        return {
            str(thing.BaseFont).partition("+")[2]
            for thing in opened.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Subtype") == "/Type0"
        }


@pytest.mark.parametrize("markup", ["{}", "<b>{}</b>", '<code class="mono">{}</code>'])
def test_text_layer_holds_the_words_exactly(markup: str) -> None:
    data = pdf(f"<p>{markup.format(NAMES)}</p>")
    assert page_texts(data)[0].strip() == NAMES
    assert faces(data) <= FACES


def test_arrows_and_ticks_are_lent_by_the_mono_face() -> None:
    data = pdf("<p>a → b ✓ Ω</p>")
    assert page_texts(data)[0].strip() == "a → b ✓ Ω"
    assert faces(data) == {"Sheet", "Sheet-Mono"}


def test_greek_in_mono_is_lent_by_the_text_face() -> None:
    data = pdf('<p class="mono">10 Ω Δ μ</p>')
    assert page_texts(data)[0].strip() == "10 Ω Δ μ"
    assert faces(data) == {"Sheet", "Sheet-Mono"}


def test_every_face_is_embedded() -> None:
    with pikepdf.open(BytesIO(pdf(f"<p>{NAMES} <b>{NAMES}</b></p>"))) as opened:
        descriptors = [
            thing
            for thing in opened.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor"
        ]
    assert len(descriptors) == 2
    assert all("/FontFile2" in descriptor for descriptor in descriptors)


@pytest.mark.parametrize(("size", "points"), [("letter", (612, 792)), ("A4", (595.28, 841.89))])
def test_paper_is_the_shops(size: str, points: tuple[float, float]) -> None:
    with pikepdf.open(BytesIO(pdf("<p>x</p>", size=size))) as opened:
        box = [float(edge) for edge in opened.pages[0].mediabox]
    assert box[2:] == pytest.approx(points, abs=0.1)


def test_wide_sections_are_landscape() -> None:
    wide = render(
        page("").replace("<body>", '<body class="wide"><p>x</p>'),
        assets={},
        page_size="letter",
    )
    with pikepdf.open(BytesIO(wide)) as opened:
        assert [float(edge) for edge in opened.pages[0].mediabox][2:] == [792, 612]


OUTSIDE = [
    '<img src="file:///etc/passwd" alt="x">',
    '<img src="http://127.0.0.1:9/x.png" alt="x">',
    '<img src="https://host.example/x.png" alt="x">',
    '<img src="ftp://127.0.0.1:9/x" alt="x">',
    '<img src="data:image/png;base64,iVBORw0KGgo=" alt="x">',
    '<img src="/etc/passwd" alt="x">',
    '<img src="x.png" alt="x">',
    f'<img src="asset:{"b" * 64}" alt="x">',
    '<link rel="stylesheet" href="file:///etc/passwd">',
    '<link rel="attachment" href="file:///etc/passwd">',
    '<style>@import url("http://127.0.0.1:9/x.css");</style>',
    '<style>body { background: url("file:///etc/passwd") }</style>',
    '<style>@font-face { font-family: X; src: url("file:///etc/passwd") }</style>'
    '<p style="font-family: X">x</p>',
    '<style>@font-face { font-family: X; src: url("font:../secret") }</style>'
    '<p style="font-family: X">x</p>',
    '<p style="content: url(http://127.0.0.1:9/)">x</p>'
    '<style>p::before { content: url("http://127.0.0.1:9/x") }</style>',
    '<object data="file:///etc/passwd" type="image/png"></object>',
    '<embed src="file:///etc/passwd" type="image/png">',
    '<a rel="attachment" href="file:///etc/passwd">x</a>',
    '<svg viewBox="0 0 9 9"><title>x</title><image href="file:///etc/passwd"/></svg>',
]


@pytest.mark.parametrize("markup", OUTSIDE)
def test_nothing_outside_is_opened(markup: str) -> None:
    """Even if markup got past the templates, an address outside the document ends the section."""
    with pytest.raises(RenderError):
        pdf(f"<p>before</p>{markup}")


@pytest.mark.parametrize(
    "content",
    [
        '<image href="file:///etc/passwd" width="9" height="9"/>',
        '<image href="http://127.0.0.1:9/x" width="9" height="9"/>',
    ],
)
def test_nothing_outside_is_opened_by_a_drawing(content: str) -> None:
    with pytest.raises(RenderError):
        pdf(SHOWN, drawing(content))


@pytest.mark.parametrize(
    "content",
    [
        '<use href="file:///etc/passwd#a"/>',
        '<style>@import url("file:///etc/passwd");</style>',
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        "<script>1</script><foreignObject><p>root:</p></foreignObject>",
    ],
)
def test_what_a_drawing_may_not_use_is_left_out(content: str) -> None:
    try:
        data = pdf(SHOWN, drawing(f'{content}<text x="1" y="5">seen</text>'))
    except RenderError:
        return
    assert page_texts(data)[0].strip() == "seen"


def test_drawing_is_drawn_with_its_words() -> None:
    data = pdf(SHOWN, drawing('<text x="1" y="5" font-size="2">Łódź</text>'))
    assert "Łódź" in page_texts(data)[0]
    with pikepdf.open(BytesIO(data)) as opened:
        figures = [
            thing
            for thing in opened.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/S") == "/Figure"
        ]
    assert [str(figure.Alt) for figure in figures] == ["A drawing"]


def test_photo_is_embedded_as_it_is() -> None:
    photo = pictures.jpeg()
    data = pdf(SHOWN, {"a" * 64: Asset(media_type="image/jpeg", data=photo)})
    assert photo in data


def test_photo_that_cannot_be_decoded_stops_the_section() -> None:
    broken = Asset(media_type="image/jpeg", data=b"\xff\xd8\xff" + bytes(500))
    with pytest.raises(RenderError, match="asset:aaaa"):
        pdf(SHOWN, {"a" * 64: broken})


def test_photo_that_is_not_shown_stops_the_section() -> None:
    photo = Asset(media_type="image/jpeg", data=pictures.jpeg())
    with pytest.raises(RenderError, match="2 pictures were asked for, 1 are on the sheets"):
        pdf(f'{SHOWN}<div style="display: none">{SHOWN}</div>', {"a" * 64: photo})


def test_picture_without_words_stops_the_section() -> None:
    photo = Asset(media_type="image/jpeg", data=pictures.jpeg())
    with pytest.raises(RenderError, match="no required alt description"):
        pdf(SHOWN.replace("A drawing", ""), {"a" * 64: photo})


def test_link_to_a_place_that_does_not_exist_stops_the_section() -> None:
    with pytest.raises(RenderError, match="nowhere"):
        pdf('<a href="#nowhere">x</a>')


def test_two_renders_are_byte_identical() -> None:
    body = f"<p>{NAMES}</p><table><tr><th scope=col>a<th scope=col>b<tr><td>1<td>2</table>"
    assert pdf(body) == pdf(body)


@pytest.mark.slow
def test_another_process_renders_the_same_bytes() -> None:
    code = (
        "import config, django, sys; django.setup()\n"
        "from jobs.documents.render import render\n"
        f"sys.stdout.buffer.write(render({page(f'<p>{NAMES}</p>')!r}, assets={{}},"
        " page_size='letter'))"
    )
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "PYTHONHASHSEED": "7",
    }
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env=environment, check=True
    )
    assert done.stdout == pdf(f"<p>{NAMES}</p>")


def test_no_date_is_written() -> None:
    with pikepdf.open(BytesIO(pdf("<p>x</p>"))) as opened:
        assert not {"/CreationDate", "/ModDate"} & set(opened.docinfo.keys())
