"""Last look at a section's structure tree before it is written.

What it takes out is more than half of all objects of a schedule, to be written, read and joined.
"""

import pydyf

# Elements that may hold their text themselves; the renderer wraps each line into one more Span.
HOLD_TEXT = {
    *("/TD", "/TH", "/P", "/H1", "/H2", "/H3", "/Caption"),
    *("/LBody", "/Lbl", "/Span", "/NonStruct"),
}
Elements = dict[bytes, pydyf.Dictionary]


class _Nothing(pydyf.Object):
    """In the place of an object that went; nothing points at it, so the join leaves it behind."""

    data = b"null"

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number


def tidy(pdf: pydyf.PDF) -> int:
    """Make the structure tree short. Returns how many pictures are in it."""
    elements = {
        thing.reference: thing
        for thing in pdf.objects
        if isinstance(thing, pydyf.Dictionary) and "S" in thing and "K" in thing
    }
    for row in [each for each in elements.values() if each["S"] == "/TR"]:
        _head(elements, row)
    _unwrap(pdf, elements)
    return sum(1 for each in elements.values() if each["S"] == "/Figure")


def _head(elements: Elements, row: pydyf.Dictionary) -> None:
    """A heading says whether it heads its row or its column.

    The renderer names every heading, and in every cell the headings that it belongs to. Names
    would have to be unique in the whole packet, and a split table repeats them on each sheet.
    """
    cells = [elements[kid] for kid in row["K"]]
    listed = {
        name.string for cell in cells if cell["S"] == "/TD" for name in cell["A"].pop("Headers", ())
    }
    for cell in cells:
        if cell["S"] == "/TH" and "ID" in cell:
            heads_row = cell.pop("ID").string in listed
            cell["A"]["Scope"] = "/Row" if heads_row else "/Column"
        elif cell["S"] == "/TD" and list(cell["A"]) == ["O"]:
            del cell["A"]


def _unwrap(pdf: pydyf.PDF, elements: Elements) -> None:
    """Give each line of text to the element that it belongs to."""
    owners = {}
    for reference, wrapper in elements.items():
        if wrapper["S"] == "/Span" and len(wrapper["K"]) == 1 and isinstance(wrapper["K"][0], int):
            owner = elements.get(wrapper["P"])
            if owner is not None and owner["S"] in HOLD_TEXT and reference in owner["K"]:
                owners[reference] = owner
    for owner in {id(owner): owner for owner in owners.values()}.values():
        kids = [elements[kid]["K"][0] if kid in owners else kid for kid in owner["K"]]
        owner["K"] = pydyf.Array(kids)
    for numbers in _parent_arrays(pdf):
        numbers[:] = [owners[one].reference if one in owners else one for one in numbers]
    for reference in owners:
        number = elements.pop(reference).number
        pdf.objects[number] = _Nothing(number)


def _parent_arrays(pdf: pydyf.PDF) -> list[pydyf.Array]:
    """For each sheet which element each marked piece belongs to."""
    for thing in pdf.objects:
        if isinstance(thing, pydyf.Dictionary) and "Nums" in thing:
            return [each for each in thing["Nums"] if isinstance(each, pydyf.Array)]
    return []
