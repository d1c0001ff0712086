"""The questions of an intake, by kind of vehicle. Common practice of the trade."""

import json
from functools import cache
from pathlib import Path
from typing import Any

SOURCE = "Intake list of the shop, to be asked"


@cache
def _data() -> dict[str, Any]:
    path = Path(__file__).parent / "data" / "intake_templates.json"
    data: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return data


def kinds() -> list[str]:
    return sorted(_data()["kinds"])


def questions(kind: str) -> list[dict[str, Any]]:
    """What every vehicle is asked, then what this kind is asked besides."""
    return [*_data()["every_vehicle"], *_data()["kinds"].get(kind, [])]
