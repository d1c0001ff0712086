"""Everything on a job that can be traced, found by any of its words."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.build_sheet.tracing import place_of
from jobs.intake.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class Hit:
    """`kind` and `ref` are the two last parts of the trace page's address."""

    kind: str
    ref: str
    name: str
    detail: str

    @property
    def noun(self) -> str:
        return self.kind.capitalize()


def search(job: Job, typed: str) -> list[Hit]:
    """Things in whose words every typed word occurs, in the order of the schedule."""
    wanted = typed.casefold().split()
    return [hit for hit in _all(job) if all(word in _words(hit) for word in wanted)]


def _words(hit: Hit) -> str:
    return f"{hit.kind} {hit.ref} {hit.name} {hit.detail}".casefold()


def _all(job: Job) -> Iterator[Hit]:
    circuits = job.circuits.select_related("node", "feed").prefetch_related("loads__line__part")
    hung: dict[int, list[str]] = {}
    for circuit in circuits:
        loads = list(circuit.loads.all())
        for load in loads:
            hung.setdefault(load.line_id, []).append(circuit.ref)
        fed = ", ".join(f"{load.line.ref} {load.line.part.description}" for load in loads)
        where = f"{circuit.node.ref} channel {circuit.channel}" if circuit.node else circuit.channel
        label = f"label {circuit.label}" if circuit.label not in ("", circuit.ref) else ""
        detail = "; ".join(filter(None, [where, label, fed]))
        yield Hit(kind="circuit", ref=circuit.ref, name=circuit.designation, detail=detail)
    for line in job.lines.select_related("part"):
        if line.pk in hung:
            detail = f"{place_of(line)}; on {', '.join(hung[line.pk])}"
            yield Hit(kind="load", ref=line.ref, name=line.part.description, detail=detail)
    for feed in job.feeds.select_related("supply"):
        detail = "; ".join(filter(None, [f"from {feed.supply.name}", feed.panel_place]))
        yield Hit(kind="feed", ref=feed.ref, name=feed.name, detail=detail)
    for node in job.nodes.select_related("feed"):
        name = f"Node on feed {node.feed.ref}"
        yield Hit(kind="node", ref=node.ref, name=name, detail=node.place)
    for supply in job.supplies.all():
        detail = supply.get_kind_display()
        yield Hit(kind="supply", ref=supply.ref, name=supply.name, detail=detail)
