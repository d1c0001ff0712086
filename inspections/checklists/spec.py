"""One check as it should be: the value from which a row is made."""

from dataclasses import dataclass
from decimal import Decimal

from jobs.models import Circuit

PRACTICE = "Common practice, no source"


@dataclass(frozen=True, kw_only=True, slots=True)
class Spec:
    """One check as it should be; `key` names what it was made from."""

    key: str
    ref: str
    title: str
    area: str
    stage: str
    kind: str
    instruction: str = ""
    expected_text: str = ""
    tolerance_source: str = PRACTICE
    unit_of_measure: str = ""
    predicted: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    circuit: Circuit | None = None
    made_in: str = ""
    critical: bool = True
    photo_required: bool = False
    instrument_needed: bool = True
    template_code: str = ""
    template_version: int = 0
    sampled: bool = False
    coverage_reason: str = ""
    about: str = ""
