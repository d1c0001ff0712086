"""Walk the site the way a reader does, link by link, and read what each page is made of."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

from django.test import Client
from django.urls import Resolver404, resolve

MOST_OF_A_KIND = 3
VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}


@dataclass(slots=True)
class Page:
    """One answer, taken apart."""

    path: str
    name: str
    status: int
    title: str = ""
    links: list[str] = field(default_factory=list)
    ids: Counter[str] = field(default_factory=Counter)
    tags: Counter[str] = field(default_factory=Counter)
    headings: list[int] = field(default_factory=list)
    main_buttons: int = 0
    inline_code: list[str] = field(default_factory=list)
    buttons: list[str] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page, self.open = page, []
        self.texts: list[tuple[int, list[str], list[str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        page, known = self.page, {name: value or "" for name, value in attrs}
        classes = known.get("class", "").split()
        page.tags[tag] += 1
        if "id" in known:
            page.ids[known["id"]] += 1
        if tag == "a" and "href" in known:
            page.links.append(known["href"])
        if len(tag) == 2 and tag[0] == "h" and tag[1].isdigit():
            page.headings.append(int(tag[1]))
        page.main_buttons += "btn-main" in classes
        page.inline_code += [name for name in known if name == "style" or name.startswith("on")]
        page.inline_code += [name for name in known if name.startswith("hx-on")]
        if tag == "script" and "src" not in known and known.get("type") != "application/json":
            page.inline_code.append("script")
        if tag == "style":
            page.inline_code.append("style element")
        if tag in VOID:
            return
        self.open.append(tag)
        if tag == "button" or "btn" in classes:
            self.texts.append((len(self.open), page.buttons, []))
        elif "notice" in classes:
            self.texts.append((len(self.open), page.notices, []))
        elif tag == "title" and not page.title:
            self.texts.append((len(self.open), [], []))

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "title" and "svg" not in self.open:
            self.page.title += data
        for _, _, words in self.texts:
            words.append(data)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            continue
        while self.texts and self.texts[-1][0] > len(self.open):
            _, found, words = self.texts.pop()
            found.append(" ".join("".join(words).split()))


def read(path: str, name: str, status: int, html: str) -> Page:
    page = Page(path=path, name=name, status=status)
    _Reader(page).feed(html)
    return page


def _name(path: str) -> str | None:
    try:
        return resolve(path).view_name
    except Resolver404:
        return None


def walk(client: Client, start: str = "/") -> Iterator[Page]:
    """Every kind of page that links lead to, up to three of a kind. Files are left alone."""
    seen: set[str] = set()
    kinds: Counter[str] = Counter()
    todo = [start]
    while todo:
        path = todo.pop(0)
        bare = urlsplit(path).path
        name = _name(bare) or f"unknown {bare}"
        if path in seen or kinds[name] >= MOST_OF_A_KIND:
            continue
        seen.add(path)
        kinds[name] += 1
        answer = client.get(path, follow=True)
        if not answer.headers.get("Content-Type", "").startswith("text/html"):
            continue
        page = read(path, name, answer.status_code, answer.content.decode())
        yield page
        links = (urljoin(path, link) for link in page.links)
        todo += [link.partition("#")[0] for link in links if link.startswith("/")]
