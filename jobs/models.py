"""The public face of this app's tables, for inspections, tests and Django itself."""

from jobs.audit.models import AuditEvent
from jobs.build_sheet.models import (
    AcBranch,
    AcceptedFinding,
    AcceptedRisk,
    AcSide,
    AppliedChange,
    BuildLine,
    Circuit,
    CircuitLoad,
    ControlLogic,
    DesignRevision,
    Feed,
    LogicWork,
    ModeDuty,
    NeutralBond,
    Node,
    OperatingMode,
    Payload,
    Serial,
    Supply,
)
from jobs.documents.models import Document, SectionWork
from jobs.intake.arrival.models import ConditionPhoto
from jobs.intake.misses import LinkMiss
from jobs.intake.models import (
    Agency,
    Contact,
    CustomerLink,
    FurnishedItem,
    Job,
    Requirement,
    Unit,
)
from jobs.kits.models import Kit, KitRevision, KitUse
from jobs.people.models import Shop
from jobs.photos.models import Photo
from jobs.quoting.models import ChangeOrder, Decision, PurchaseOrder, Quote, QuoteLine
from jobs.stages.models import Hold, Stage, StageTemplate, WorkEvent

__all__ = [
    "AcBranch",
    "AcSide",
    "AcceptedFinding",
    "AcceptedRisk",
    "Agency",
    "AppliedChange",
    "AuditEvent",
    "BuildLine",
    "ChangeOrder",
    "Circuit",
    "CircuitLoad",
    "ConditionPhoto",
    "Contact",
    "ControlLogic",
    "CustomerLink",
    "Decision",
    "DesignRevision",
    "Document",
    "Feed",
    "FurnishedItem",
    "Hold",
    "Job",
    "Kit",
    "KitRevision",
    "KitUse",
    "LinkMiss",
    "LogicWork",
    "ModeDuty",
    "NeutralBond",
    "Node",
    "OperatingMode",
    "Payload",
    "Photo",
    "PurchaseOrder",
    "Quote",
    "QuoteLine",
    "Requirement",
    "SectionWork",
    "Serial",
    "Shop",
    "Stage",
    "StageTemplate",
    "Supply",
    "Unit",
    "WorkEvent",
]
