"""The printed calculation of a kept design revision: inputs, then every check with its sums."""

from datetime import date
from typing import Any

from jobs.build_sheet.models import DesignRevision
from jobs.documents.actions import request_document
from jobs.documents.frame import frame
from jobs.documents.models import Document
from jobs.electrical.rule_sets.catalog import RULE_SETS, rule_set_name
from jobs.findings import number
from jobs.people.models import Shop
from jobs.sources import SOURCE_BY_ID
from jobs.templatetags.units import figure, severity_word

Facts = dict[str, Any]
FEET_PER_METRE = 1 / 0.3048
HOW_TO_READ = (
    "Every sum below can be redone with a pencil: each line gives a symbol, the formula with its "
    "figures, and the value to five digits. Totals named without figures add what is listed above "
    "them or in the tables of inputs. A calculation is no substitute for the makers' instructions, "
    "local codes and licensed practice. It does not certify compliance."
)


def request_calculation(revision: DesignRevision) -> Document:
    """Queue the calculation of a revision; the same revision is printed once."""
    job, shop = revision.job, Shop.objects.get(pk=1)
    title = f"Calculation of {job.number}, design revision {revision.number}"
    document = request_document(
        kind="calculation",
        title=title,
        file_name=f"{job.number}-calculation-{revision.number}.pdf",
        sections=sections_of(revision),
        frame=frame(
            page_size=shop.page_size,
            mark=f"Job {job.number} · Design revision {revision.number}",
            state="Released" if revision.released_at else "Not released",
        ),
    )
    DesignRevision.objects.filter(pk=revision.pk).update(document=document)
    return document


def sections_of(revision: DesignRevision) -> list[Facts]:
    design = revision.design
    groups: dict[str, list[Facts]] = {}
    for finding in revision.findings:
        if finding["steps"]:
            groups.setdefault(_group(finding["subject"], design), []).append(finding)
    return [
        _section("basis", "Basis and inputs", _basis(revision, design)),
        *(
            _section(f"sums-{index}", name, {"tables": [_sums(each) for each in found]})
            for index, (name, found) in enumerate(groups.items(), start=1)
        ),
    ]


def _section(key: str, title: str, data: Facts) -> Facts:
    return {"key": key, "title": title, "template": "print/section.html", "data": data}


def _group(subject: str, design: Facts) -> str:
    """Feeds, the circuits of each feed, nodes, modes, and what is left: 120 V and weight."""
    for circuit in design["circuits"]:
        if circuit["ref"] == subject:
            return f"Circuits of feed {circuit['feed']}"
    first = subject.split(" ")[0]
    return {"feed": "Feeds", "node": "Nodes", "mode": "Operating modes"}.get(
        first, "120 V side, weight and the rest"
    )


def _sums(finding: Facts) -> Facts:
    word = severity_word(finding["severity"])
    name = finding["rule"].replace("_", " ")
    called = finding.get("name") or finding["subject"]
    return {
        "caption": f"{called} · {name} · {word}. {finding['message']}",
        "columns": [
            {"title": "Symbol", "width": 14, "mono": True},
            {"title": "Formula", "width": 46, "mono": True},
            {"title": "Value", "width": 16, "num": True, "mono": True},
            {"title": "Source", "width": 24},
        ],
        "rows": [
            [
                step["symbol"],
                step["formula"],
                f"{figure(step['value'])} {step['unit']}",
                _source(step["source"]),
            ]
            for step in finding["steps"]
        ],
    }


def _source(key: str) -> str:
    found = SOURCE_BY_ID.get(key)
    return f"{found.title} {found.clause}".strip() if found else key


def _basis(revision: DesignRevision, design: Facts) -> Facts:
    job = revision.job
    rules = RULE_SETS.get(design["rule_set"])
    made = f"{revision.made_by}, {_day(revision.made_at)}"
    released = "not yet"
    if revision.released_at:
        released = f"{revision.released_by}, {_day(revision.released_at)}"
    return {
        "lead": HOW_TO_READ,
        "facts": [
            {"label": "Job", "value": f"{job.number} {job.title}"},
            {"label": "Design revision", "value": str(revision.number)},
            {"label": "Made by", "value": made},
            {"label": "Released by", "value": released},
            {"label": "Rule set", "value": rule_set_name(design["rule_set"])},
            {"label": "Values of", "value": _day(rules.dated) if rules else "not known"},
            {"label": "Digest of the design", "value": revision.digest, "mono": True},
        ],
        "tables": [
            _supplies(design),
            _feeds(design),
            _circuits(design),
            _loads(design),
            _modes(design),
        ],
    }


def _day(when: date) -> str:
    return f"{when.day} {when:%b %Y}"


def _supplies(design: Facts) -> Facts:
    rows = [
        [
            f"{item['ref']} {item['name']}".strip(),
            "not known" if item["nominal_v"] is None else f"{number(item['nominal_v'])} V",
            f"{number(1000 * item['internal_resistance_ohm'])} mohm",
            "–" if item["capacity_ah"] is None else f"{number(item['capacity_ah'])} Ah",
            number(item["peukert"]),
        ]
        for item in design["supplies"]
    ]
    heads = {"Supply": 36, "Nominal": 14, "Own resistance": 18, "20-hour": 16, "Peukert": 16}
    return _table("Supplies", heads, rows)


def _feeds(design: Facts) -> Facts:
    rows = [[item["ref"], item["supply"], *_run(item)] for item in design["feeds"]]
    heads = {"Feed": 10, "Supply": 16, "Device": 12, "Conductor": 38, "One way": 12, "Return": 12}
    return _table("Feeds", heads, rows)


def _circuits(design: Facts) -> Facts:
    rows = [
        [item["ref"], item["designation"], *_run(item)]
        for item in design["circuits"]
        if not item["whole_feed"]
    ]
    heads = {
        "Circuit": 10, "Designation": 28, "Device": 11,
        "Conductor": 29, "One way": 11, "Return": 11,
    }  # fmt: skip
    return _table("Circuits", heads, rows)


def _run(item: Facts) -> list[str]:
    length = item["length_m"]
    feet = "not known" if length is None else f"{number(length * FEET_PER_METRE)} ft"
    space = ", engine space" if item["engine_space"] else ""
    bundle = f", bundle of {item['bundle_count']}" if item["bundle_count"] > 1 else ""
    conductor = f"{item['awg'] or '?'} AWG, {item['insulation_c']} °C{space}{bundle}"
    return [_amps(item["device_a"]), conductor, feet, item["return_path"] or "not known"]


def _amps(value: float | None) -> str:
    return "not known" if value is None else f"{number(value)} A"


def _loads(design: Facts) -> Facts:
    rows = [
        [
            circuit["ref"],
            f"{load['ref']} {load['name']}",
            str(load["quantity"]),
            _amps(load["average_a"]),
            _amps(load["peak_a"]),
        ]
        for circuit in design["circuits"]
        for load in circuit["loads"]
    ]
    heads = {"Circuit": 10, "Load": 54, "Pieces": 10, "Average": 13, "Peak": 13}
    return _table("Loads, each", heads, rows)


def _modes(design: Facts) -> Facts:
    rows = [
        [
            mode["name"] or mode["key"],
            f"{number(mode['bus_v'])} V",
            ", ".join(
                duty["circuit"] + ("" if duty["fraction"] == 1 else f" x {duty['fraction']:g}")
                for duty in mode["duty"]
            )
            or "nothing",
        ]
        for mode in design["modes"]
    ]
    heads = {"Mode": 22, "Bus": 10, "Circuits that are on, with duty": 68}
    return _table("Operating modes", heads, rows)


def _table(caption: str, heads: dict[str, int], rows: list[list[str]]) -> Facts:
    """`heads` with the percent of the sheet's width that each takes."""
    columns = [{"title": head, "width": width} for head, width in heads.items()]
    return {"caption": caption, "columns": columns, "rows": rows}
