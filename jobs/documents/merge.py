"""Joining sections into one PDF that keeps one structure tree.

Appending pages alone would silently drop the tags that let a screen reader follow tables. So each
section's structure is re-parented under one Document element, and its page and link numbers are
shifted behind those of the sections before it.
"""

import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from jobs.documents.render import LINK

Places = dict[str, tuple[int, list[Any]]]


@dataclass(kw_only=True, slots=True)
class Part:
    """One section, opened: what is joined, and where it starts."""

    key: str
    title: str
    pdf: Pdf | None
    page_count: int
    first_page: int = 0


@dataclass(slots=True)
class _Tree:
    """The structure of the whole document while it grows."""

    kids: list[Any] = field(default_factory=list)
    numbers: list[Any] = field(default_factory=list)
    base: int = 0


def open_part(section: Mapping[str, Any], pdf: bytes) -> Part:
    opened = pikepdf.open(BytesIO(pdf))
    count = len(opened.pages)
    return Part(key=section["key"], title=section["title"], pdf=opened, page_count=count)


def join(parts: Sequence[Part]) -> Pdf:
    """All pages, one structure tree, one outline entry a section, links between sections.

    Each section is let go as soon as it is copied, so that the whole is in memory once.
    """
    whole = pikepdf.new()
    document = whole.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document))
    tree, places = _Tree(), {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", pikepdf.PageCopyWarning)  # _link() sees to the places
        for part in parts:
            # Pages first: the copier then knows them, and every /Pg points at the copy.
            if part.pdf is not None:
                places[part.key] = _places(part.pdf)
                whole.pages.extend(part.pdf.pages)
                _append_structure(whole, document, tree, part, part.pdf)
                part.pdf = None
    document.K = Array(tree.kids)
    _finish_tree(whole, document, tree)
    _link(whole, parts, places)
    with whole.open_outline() as outline:
        outline.root.extend(pikepdf.OutlineItem(part.title, part.first_page) for part in parts)
    return whole


def _append_structure(whole: Pdf, document: Any, tree: _Tree, part: Part, pdf: Pdf) -> None:
    root = whole.copy_foreign(pdf.Root.StructTreeRoot)
    for top in _children(root.K):
        for element in _children(top.K) if Name.Document == top.S else [top]:
            element.P = document
            tree.kids.append(element)
    for page in _pages(whole, part):
        _shift(page.obj, Name.StructParents, tree.base)
        for annotation in page.obj.get(Name.Annots, ()):
            _shift(annotation, Name.StructParent, tree.base)
    numbers = list(root.ParentTree.Nums)
    for key, value in zip(numbers[::2], numbers[1::2], strict=True):
        tree.numbers += [int(key) + tree.base, value]
    if numbers:
        tree.base += int(numbers[-2]) + 1


def _pages(whole: Pdf, part: Part) -> Iterator[pikepdf.Page]:
    """A section's pages in the whole."""
    return (whole.pages[part.first_page + number] for number in range(part.page_count))


def _children(kids: Any) -> list[Any]:
    return list(kids) if isinstance(kids, Array) else [kids]


def _shift(thing: Any, name: Name, by: int) -> None:
    if name in thing:
        thing[name] = int(thing[name]) + by


def _finish_tree(whole: Pdf, document: Any, tree: _Tree) -> None:
    root = whole.make_indirect(
        Dictionary(
            Type=Name.StructTreeRoot,
            K=Array([document]),
            ParentTree=whole.make_indirect(Dictionary(Nums=Array(tree.numbers))),
            ParentTreeNextKey=tree.base,
        )
    )
    document.P = root
    whole.Root.StructTreeRoot = root
    whole.Root.MarkInfo = Dictionary(Marked=True)


def _link(whole: Pdf, parts: Sequence[Part], places: Mapping[str, Places]) -> None:
    """Turn the links of each section into jumps to pages of the whole document."""
    sections = {part.key: part for part in parts}
    for part in parts:
        for page in _pages(whole, part):
            for annotation in page.obj.get(Name.Annots, ()):
                _retarget(whole, annotation, sections, places[part.key], part.first_page)


def _places(pdf: Pdf) -> Places:
    """Named places inside one section: page number within the section, and where on it."""
    names = pdf.Root.get(Name.Names, Dictionary()).get(Name.Dests, Dictionary()).get(Name.Names, ())
    found, flat = {}, list(names)
    numbers = {page.objgen: number for number, page in enumerate(pdf.pages)} if flat else {}
    for name, place in zip(flat[::2], flat[1::2], strict=True):
        where = [Name(str(one)) if isinstance(one, Name) else one for one in list(place)[1:]]
        found[str(name)] = (numbers[place[0].objgen], where)
    return found


def _retarget(
    whole: Pdf,
    annotation: Any,
    sections: dict[str, Part],
    places: Places,
    first_page: int,
) -> None:
    if Name.Dest in annotation:
        number, where = places[str(annotation.Dest)]
        annotation.Dest = Array([whole.pages[first_page + number].obj, *where])
        return
    address = str(annotation.get(Name.A, Dictionary()).get(Name.URI, ""))
    if not address.startswith(LINK):
        return
    part = sections[address.removeprefix(LINK)]
    page = whole.pages[part.first_page]
    annotation.Contents = String(f"Go to {part.title}, sheet {part.first_page + 1}")
    annotation.A = Dictionary(S=Name.GoTo, D=Array([page.obj, Name.FitH, page.mediabox[3]]))
