"""The hash chain of a unit's results: each digest covers the one before it, so a gap shows."""

import hashlib
import json
from typing import Any


def canonical(payload: dict[str, Any]) -> str:
    return json.dumps(payload, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def payload_sha256(payload: dict[str, Any]) -> str:
    return hashlib.sha256(canonical(payload).encode()).hexdigest()


def link(*, previous: str, sequence: int, payload_sha: str) -> str:
    """Digest of one link: previous digest, sequence and payload digest, separated by colons."""
    return hashlib.sha256(f"{previous}:{sequence}:{payload_sha}".encode()).hexdigest()
