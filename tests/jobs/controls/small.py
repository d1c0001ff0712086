"""One small logic with a mast, a siren and a lamp, for tests that need something to chew on."""

from typing import Any

from jobs.controls.codec import from_json
from jobs.controls.logic import Logic


def small_data(**changes: Any) -> dict[str, Any]:
    """The logic as JSON; keyword arguments replace whole parts."""
    data = {
        "version": "1",
        "signals": [
            {
                "name": "GEAR",
                "label": "gear",
                "kind": "position",
                "positions": ["P", "R", "N", "D"],
                "wiring": "bus",
                "may_be_unknown": True,
                "unsafe": "D",
            },
            {
                "name": "PB",
                "label": "park brake",
                "may_be_unknown": True,
                "monitored": True,
                "unsafe": "off",
                "rest": "on",
                "on_words": "set",
                "off_words": "released",
            },
            {
                "name": "SPD",
                "label": "speed",
                "kind": "measured",
                "unit": "mph",
                "wiring": "bus",
                "thresholds": [{"value": 1}, {"value": 10, "name": "scene"}],
                "may_be_unknown": True,
                "unsafe": "99",
            },
            {
                "name": "STOWED",
                "label": "stowed contact",
                "may_be_unknown": True,
                "unsafe": "off",
                "rest": "on",
                "on_words": "closed",
                "off_words": "open",
            },
            {
                "name": "UP",
                "label": "mast button",
                "wiring": "bus",
                "on_words": "pressed",
                "off_words": "released",
            },
            {
                "name": "TONE",
                "label": "tone button",
                "wiring": "bus",
                "on_words": "pressed",
                "off_words": "released",
            },
        ],
        "terms": [
            {"name": "PARKED", "label": "parked", "when": "GEAR is P AND PB AND SPD below 1"}
        ],
        "outputs": [
            {"name": "MAST", "label": "mast up"},
            {"name": "ALARM", "label": "mast alarm", "alarm": True},
            {"name": "SIREN", "label": "siren"},
        ],
        "rules": [
            {"name": "R1", "output": "MAST", "when": "UP AND PARKED"},
            {"name": "R2", "output": "ALARM", "when": "NOT STOWED AND NOT PARKED"},
            {
                "name": "R3",
                "output": "SIREN",
                "when": "TONE pressed AND GEAR is not P",
                "reset": "GEAR is P",
                "unsafe": [{"signal": "GEAR", "value": "P"}],
            },
        ],
        "interlocks": [
            {
                "name": "I1",
                "label": "Mast up only when parked",
                "kind": "never_unless",
                "subjects": ["MAST"],
                "condition": "PARKED",
            },
            {
                "name": "I2",
                "label": "Alarm when a raised mast moves",
                "kind": "always_when",
                "subjects": ["ALARM"],
                "condition": "NOT STOWED AND NOT PARKED",
            },
            {
                "name": "I3",
                "label": "No siren in park",
                "kind": "never_unless",
                "subjects": ["SIREN"],
                "condition": "GEAR is not P",
            },
        ],
    }
    return data | changes


def small_logic(**changes: Any) -> Logic:
    return from_json(small_data(**changes))
