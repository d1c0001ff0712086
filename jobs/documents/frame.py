"""What all pages of one document share: paper, running words, draft mark. Plain JSON."""

from typing import Any

PAGE_SIZES = ("letter", "A4")


def frame(
    *, page_size: str = "letter", mark: str = "", state: str = "", draft: bool = False
) -> dict[str, Any]:
    """page_size of the shop; mark for the header ("Job J-0042 · Rev C"); state for the footer."""
    if page_size not in PAGE_SIZES:
        raise ValueError(f"Page size is {page_size!r}; it must be one of {PAGE_SIZES}.")
    if draft:
        state = state or "DRAFT, not for delivery"
    return {"page_size": page_size, "mark": mark, "state": state, "draft": draft}
