"""What is wrong with a design as data: numbers out of range, references that lead nowhere.

Each problem carries a path such as `circuits[3].length_m`, so that a form or a file can point at
the field. The calculation runs only on a design without problems.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

from jobs.electrical.design import Circuit, Design, Mode
from jobs.electrical.rule_sets.catalog import RULE_SETS

# Above any vehicle: catches infinity and slips of the decimal point in one comparison.
LARGEST = 1e9


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    path: str
    message: str

    def __str__(self) -> str:
        return f"{self.path}: {self.message}"


class DesignError(ValueError):
    """A design that cannot be calculated; `problems` says where and why."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem) for problem in self.problems))


def design_problems(design: Design) -> list[Problem]:
    """Every problem of the design, in the order of its parts; empty when it can be calculated."""
    return [*_numbers((design,), lambda _: ""), *_references(design)]


def circuit_problems(design: Design, ref: str) -> list[Problem]:
    """The problems of one circuit: every problem there is when only its own values were changed."""
    index = next(index for index, item in enumerate(design.circuits) if item.ref == ref)
    path, circuit = f"circuits[{index}].", design.circuits[index]
    feeds, nodes = {feed.ref for feed in design.feeds}, {n.ref: n.feed for n in design.nodes}
    found = _circuit_references(path, circuit, feeds, nodes, design)
    return [*_numbers((circuit,), lambda _: path), *found]


_PARTS = {"unit", "supplies", "feeds", "nodes", "groups", "circuits", "loads", "modes", "duty"}
_PARTS |= {"ac", "pass_throughs", "inverter", "shore", "charger", "branches", "bonds"}
# Above zero, as a least value that a comparison can use.
_SMALLEST = 5e-324


@dataclass(frozen=True, slots=True)
class _Shape:
    """The numbers and the parts of one kind of record; `read` fetches all numbers at once."""

    names: tuple[str, ...]
    ranges: tuple[tuple[float, float], ...]
    read: Callable[[Any], tuple[Any, ...]]
    parts: tuple[str, ...]


def _shape(kind: type) -> _Shape:
    numbers = [item for item in fields(kind) if item.metadata]
    names = [item.name for item in numbers]
    ranges = []
    for item in numbers:
        least = _SMALLEST if "above" in item.metadata else item.metadata["least"]
        ranges.append((least, item.metadata.get("most", LARGEST)))
    read = attrgetter(*names) if len(names) > 1 else lambda thing: (getattr(thing, names[0]),)
    return _Shape(
        names=tuple(names),
        ranges=tuple(ranges),
        read=read if names else lambda _: (),
        parts=tuple(item.name for item in fields(kind) if item.name in _PARTS),
    )


_SHAPES: dict[type, _Shape] = {}


def _numbers(things: tuple[Any, ...], paths: Callable[[int], str]) -> Iterator[Problem]:
    """Numbers out of range in equal records and in their parts; `paths` names a record."""
    if not things:
        return
    kind = type(things[0])
    shape = _SHAPES.setdefault(kind, _shape(kind)) if kind not in _SHAPES else _SHAPES[kind]
    names, read, ranges = shape.names, shape.read, shape.ranges
    for index, thing in enumerate(things):
        for name, value, (least, most) in zip(names, read(thing), ranges, strict=True):
            # A comparison with NaN is false, so NaN is out of every range.
            if value is not None and not least <= value <= most:
                text = _range_text(value, least, most)
                yield Problem(path=f"{paths(index)}{name}", message=text)
        for name in shape.parts:
            inside = getattr(thing, name)
            if isinstance(inside, tuple):
                yield from _numbers(inside, _list_path(paths(index), name))
            elif inside is not None:
                yield from _numbers((inside,), _part_path(paths(index), name))


def _list_path(path: str, name: str) -> Callable[[int], str]:
    return lambda index: f"{path}{name}[{index}]."


def _part_path(path: str, name: str) -> Callable[[int], str]:
    return lambda _: f"{path}{name}."


def _range_text(value: float, least: float, most: float) -> str:
    low = "above 0" if least == _SMALLEST else f"at least {least:g}"
    high = "" if most == LARGEST else f" and at most {most:g}"
    return f"{value:g} must be {low}{high}"


def _references(design: Design) -> Iterator[Problem]:
    if design.rule_set not in RULE_SETS:
        known = ", ".join(RULE_SETS)
        yield Problem(path="rule_set", message=f'no rule set "{design.rule_set}" (known: {known})')
    supplies = {supply.ref for supply in design.supplies}
    feeds = {feed.ref for feed in design.feeds}
    for name in ("supplies", "feeds", "nodes", "circuits"):
        yield from _twice(name, "ref", [item.ref for item in getattr(design, name)])
    yield from _twice("modes", "key", [mode.key for mode in design.modes])
    for index, feed in enumerate(design.feeds):
        yield from _known(f"feeds[{index}].supply", feed.supply, supplies, "supply")
        if feed.second_supply is not None:
            path = f"feeds[{index}].second_supply"
            yield from _known(path, feed.second_supply, supplies, "supply")
            if feed.second_supply == feed.supply:
                yield Problem(path=path, message=f'"{feed.supply}" cannot be linked to itself')
    for index, node in enumerate(design.nodes):
        yield from _known(f"nodes[{index}].feed", node.feed, feeds, "feed")
    node_feed = {node.ref: node.feed for node in design.nodes}
    for index, circuit in enumerate(design.circuits):
        yield from _circuit_references(f"circuits[{index}].", circuit, feeds, node_feed, design)
    circuits = {circuit.ref for circuit in design.circuits}
    for index, node in enumerate(design.nodes):
        yield from _all_known(f"nodes[{index}].powered_by", node.powered_by, circuits, "circuit")
    yield from _twice("pass_throughs", "ref", [item.ref for item in design.pass_throughs])
    for index, item in enumerate(design.pass_throughs):
        path = f"pass_throughs[{index}]"
        yield from _all_known(f"{path}.through_feeds", item.through_feeds, feeds, "feed")
        yield from _all_known(
            f"{path}.through_circuits", item.through_circuits, circuits, "circuit"
        )
    for index, mode in enumerate(design.modes):
        yield from _mode_references(f"modes[{index}].", mode, circuits, feeds)
    if design.ac is not None:
        if design.ac.inverter is not None:
            yield from _known("ac.inverter.feed", design.ac.inverter.feed, feeds, "feed")
        yield from _twice("ac.branches", "ref", [item.ref for item in design.ac.branches])


def _circuit_references(
    path: str, circuit: Circuit, feeds: set[str], node_feed: dict[str, str], design: Design
) -> Iterator[Problem]:
    yield from _known(f"{path}feed", circuit.feed, feeds, "feed")
    if circuit.node is not None:
        yield from _known(f"{path}node", circuit.node, set(node_feed), "node")
        if node_feed.get(circuit.node, circuit.feed) != circuit.feed:
            text = f'node "{circuit.node}" is on feed {node_feed[circuit.node]}, not {circuit.feed}'
            yield Problem(path=f"{path}node", message=text)
    if circuit.through_peak_a < circuit.through_average_a:
        text = f"{circuit.through_peak_a:g} is below the average of {circuit.through_average_a:g}"
        yield Problem(path=f"{path}through_peak_a", message=text)
    rule_set = RULE_SETS.get(design.rule_set)
    classes = {item.key for item in rule_set.drop_classes} if rule_set else set()
    for index, load in enumerate(circuit.loads):
        here = f"{path}loads[{index}]."
        if rule_set and load.drop_class not in classes:
            text = f'no drop class "{load.drop_class}" in rule set {rule_set.key}'
            yield Problem(path=f"{here}drop_class", message=text)
        average, peak = load.average_a, load.peak_a
        if average is not None and peak is not None and peak < average:
            text = f"{peak:g} is below the average of {average:g}"
            yield Problem(path=f"{here}peak_a", message=text)


def _mode_references(
    path: str, mode: Mode, circuits: set[str], feeds: set[str]
) -> Iterator[Problem]:
    named = [duty.circuit for duty in mode.duty]
    if not circuits.issuperset(named):
        for index, ref in enumerate(named):
            yield from _known(f"{path}duty[{index}].circuit", ref, circuits, "circuit")
    yield from _twice(f"{path}duty", "circuit", named)
    yield from _all_known(f"{path}closed_links", mode.closed_links, feeds, "feed")


def _all_known(
    path: str, refs: Iterable[str], known: Iterable[str], what: str
) -> Iterator[Problem]:
    for index, ref in enumerate(refs):
        yield from _known(f"{path}[{index}]", ref, known, what)


def _known(path: str, ref: str, known: Iterable[str], what: str) -> Iterator[Problem]:
    if ref not in known:
        yield Problem(path=path, message=f'there is no {what} "{ref}"')


def _twice(path: str, name: str, refs: list[str]) -> Iterator[Problem]:
    if len(set(refs)) == len(refs) and "" not in refs:
        return
    seen: set[str] = set()
    for index, ref in enumerate(refs):
        if not ref:
            yield Problem(path=f"{path}[{index}].{name}", message="must not be empty")
        elif ref in seen:
            yield Problem(path=f"{path}[{index}].{name}", message=f'"{ref}" stands here twice')
        seen.add(ref)
