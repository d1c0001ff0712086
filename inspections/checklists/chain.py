"""The hash chain of a unit's results: each digest covers the one before it, so a gap shows."""

import hashlib
import json
from datetime import UTC
from typing import Any


def canonical(payload: dict[str, Any]) -> str:
    return json.dumps(payload, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def payload_sha256(payload: dict[str, Any]) -> str:
    return hashlib.sha256(canonical(payload).encode()).hexdigest()


def outcome_sha256(result: Any) -> str:
    """What the server made of the payload: its verdict, its times, what the person had seen."""
    outcome = {
        "at_device": result.at_device.astimezone(UTC).isoformat(),
        "base_sequence": result.base_sequence,
        "kind": result.kind,
        "received_at": result.received_at.astimezone(UTC).isoformat(),
        "took_part": result.took_part,
        "value_typed": result.value_typed,
        "verdict": result.verdict,
    }
    if result.late:
        outcome["late"] = True
    if result.device:
        outcome["device"] = result.device
    return payload_sha256(outcome)


def link(*, previous: str, sequence: int, payload_sha: str, outcome_sha: str) -> str:
    """Digest of one link: previous digest, sequence, payload and outcome, separated by colons."""
    return hashlib.sha256(f"{previous}:{sequence}:{payload_sha}:{outcome_sha}".encode()).hexdigest()
