"""The public face of this app's tables."""

from inspections.checklists.models import Check, Instrument, Result, ResultPhoto
from inspections.defects.models import Defect
from inspections.handover.models import Acceptance, Packet, PunchItem, Receipt, Training
from inspections.release.models import Release

__all__ = [
    "Acceptance",
    "Check",
    "Defect",
    "Instrument",
    "Packet",
    "PunchItem",
    "Receipt",
    "Release",
    "Result",
    "ResultPhoto",
    "Training",
]
