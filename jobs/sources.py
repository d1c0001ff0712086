"""Every cited document, once. Findings and tables name the id; pages show title, edition, clause."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    id: str
    title: str
    edition: str = ""
    status: str = ""
