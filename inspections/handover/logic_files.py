"""The control logic as files in the packet: the configuration table, with the logic's SHA-256."""

from jobs.build_sheet.control.fit import table_csv, table_json
from jobs.build_sheet.drafting.release import released_logic
from jobs.controls.codec import from_json
from jobs.controls.nodefit import node_fit
from jobs.models import Job

CSV_END, JSON_END = "configuration.csv", "configuration.json"


def logic_files(job: Job, name: str) -> list[dict[str, str]]:
    """As CSV and JSON, of the released version or else of the newest; none without logic."""
    kept = released_logic(job) or job.logic_versions.last()
    if kept is None:
        return []
    fit = node_fit(from_json(kept.logic))
    return [
        {
            "name": f"{name}-{CSV_END}",
            "media_type": "text/csv",
            "text": table_csv(fit).removeprefix("\ufeff"),
        },
        {"name": f"{name}-{JSON_END}", "media_type": "application/json", "text": table_json(fit)},
    ]
