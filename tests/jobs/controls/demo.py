"""The demo's two versions of its control logic."""

import json
from pathlib import Path

from jobs.controls.codec import from_json
from jobs.controls.logic import Logic

DATA = Path(__file__).resolve().parents[3] / "inspections/demo/data"


def demo_logic(version: str) -> Logic:
    file = DATA / f"logic_v{version.replace('.', '_')}.json"
    return from_json(json.loads(file.read_text(encoding="utf-8")))
