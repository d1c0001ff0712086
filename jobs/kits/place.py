"""What belongs to a kit, and which names its rows get on a job. Plain build tables in and out."""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

Row = dict[str, Any]
Tables = dict[str, list[Row]]
# What a job has already is used; what it lacks comes with the kit.
SHARED = ("supplies", "feeds", "nodes")
# Every one comes new, under a name that is free on the job.
OWN = ("lines", "circuits")
_NUMBERED = re.compile(r"(.*?)(\d+)$")


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """Rows to be added, and by table which kit name became which name on the job."""

    tables: Tables
    names: dict[str, dict[str, str]]


def pick(build: Mapping[str, Any], lines: Collection[str]) -> Tables:
    """The part of a build that hangs together with some lines: circuits, and what feeds them."""
    wanted = set(lines)
    loads = [row for row in build["loads"] if row["line"] in wanted]
    fed = {row["circuit"] for row in loads}
    circuits = [row for row in build["circuits"] if row["ref"] in fed]
    named = {row["node"] for row in circuits if row["node"]}
    nodes = [row for row in build["nodes"] if row["line"] in wanted or row["ref"] in named]
    feeding = {row["feed"] for row in (*circuits, *nodes)}
    feeds = [row for row in build["feeds"] if row["ref"] in feeding]
    behind = {row[end] for row in feeds for end in ("supply", "second_supply")}
    return {
        "supplies": [row for row in build["supplies"] if row["ref"] in behind],
        "feeds": feeds,
        "lines": [row for row in build["lines"] if row["ref"] in wanted],
        "nodes": [row if row["line"] in wanted else {**row, "line": None} for row in nodes],
        "circuits": circuits,
        "loads": loads,
        "duty": [row for row in build["duty"] if row["circuit"] in fed],
    }


def place(kit: Mapping[str, Any], build: Mapping[str, Any]) -> Placed:
    """The kit's rows under the names they get on a job with this build."""
    have = {table: {row["ref"] for row in build[table]} for table in (*SHARED, *OWN)}
    names = {
        table: _names([row["ref"] for row in kit.get(table, ())], have[table]) for table in OWN
    }
    tables: Tables = {
        table: [_renamed(row, names) for row in kit.get(table, ()) if row["ref"] not in have[table]]
        for table in SHARED
    }
    for table in OWN:
        tables[table] = [
            {**_renamed(row, names), "ref": names[table][row["ref"]]} for row in kit.get(table, ())
        ]
    tables["loads"] = [_renamed(row, names) for row in kit.get("loads", ())]
    modes = {row["key"] for row in build["modes"]}
    tables["duty"] = [_renamed(row, names) for row in kit.get("duty", ()) if row["mode"] in modes]
    return Placed(tables={name: rows for name, rows in tables.items() if rows}, names=names)


def _renamed(row: Row, names: Mapping[str, Mapping[str, str]]) -> Row:
    """The row pointing at lines and circuits by their names on the job."""
    found = dict(row)
    for column, table in (("line", "lines"), ("circuit", "circuits")):
        if found.get(column):
            found[column] = names[table].get(found[column], found[column])
    if "label" in found and found["label"] in names["circuits"]:
        found["label"] = names["circuits"][found["label"]]
    return found


def _names(wanted: Iterable[str], have: Collection[str]) -> dict[str, str]:
    """Each name as it is where it is free, else the next free number behind its letters."""
    taken, found = set(have), {}
    for name in wanted:
        found[name] = _free(name, taken)
        taken.add(found[name])
    return found


def _free(name: str, taken: Collection[str]) -> str:
    if name not in taken:
        return name
    match = _NUMBERED.fullmatch(name)
    stem, width = (match[1], len(match[2])) if match else (name, 1)
    numbers = [int(m[2]) for one in taken if (m := _NUMBERED.fullmatch(one)) and m[1] == stem]
    return f"{stem}{max(numbers, default=1) + 1:0{width}d}"
