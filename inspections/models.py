"""The public face of this app's tables."""

from inspections.as_built.models import (
    AsBuiltRevision,
    AsReleased,
    Label,
    Origin,
    Pin,
    Place,
    PlacePhoto,
    Sheet,
)
from inspections.checklists.models import Check, Instrument, Result, ResultPhoto
from inspections.checklists.template_models import CheckTemplate
from inspections.defects.models import Defect
from inspections.handover.models import (
    Acceptance,
    FrozenPacket,
    Packet,
    PunchItem,
    Receipt,
    Training,
)
from inspections.manuals.models import Manual
from inspections.release.models import Release
from inspections.service.models import Case, PartSwap, Removal, RemovalItem
from inspections.sync.models import DeviceEvent

__all__ = [
    "Acceptance",
    "AsBuiltRevision",
    "AsReleased",
    "Case",
    "Check",
    "CheckTemplate",
    "Defect",
    "DeviceEvent",
    "FrozenPacket",
    "Instrument",
    "Label",
    "Manual",
    "Origin",
    "Packet",
    "PartSwap",
    "Pin",
    "Place",
    "PlacePhoto",
    "PunchItem",
    "Receipt",
    "Release",
    "Removal",
    "RemovalItem",
    "Result",
    "ResultPhoto",
    "Sheet",
    "Training",
]
