"""The public face of this app's tables, for inspections, tests and Django itself."""

from jobs.audit.models import AuditEvent
from jobs.build_sheet.models import (
    AcBranch,
    AcceptedFinding,
    AcceptedRisk,
    AcSide,
    AppliedChange,
    BuildImport,
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
    PassThrough,
    Payload,
    Serial,
    Supply,
)
from jobs.buying.models import (
    PartSource,
    Purchase,
    PurchaseLine,
    StockMove,
    Supplier,
)
from jobs.coverage.models import RequirementLink
from jobs.documents.models import Document, SectionWork
from jobs.fleet.models import UnitDifference
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
from jobs.invoicing.models import Invoice
from jobs.kits.models import Kit, KitRevision, KitUse
from jobs.notices.models import Notice
from jobs.people.models import QuickPin, Shop, Tablet
from jobs.photos.models import Photo
from jobs.planning.models import PlanResource, PlanRun, PlanSettings
from jobs.quoting.models import (
    ChangeOrder,
    Decision,
    LabourClass,
    PriceContract,
    PurchaseOrder,
    Quote,
    QuoteLine,
)
from jobs.stages.models import ChangeWork, Hold, Stage, StageTemplate, WorkEvent

__all__ = [
    "AcBranch",
    "AcSide",
    "AcceptedFinding",
    "AcceptedRisk",
    "Agency",
    "AppliedChange",
    "AuditEvent",
    "BuildImport",
    "BuildLine",
    "ChangeOrder",
    "ChangeWork",
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
    "Invoice",
    "Job",
    "Kit",
    "KitRevision",
    "KitUse",
    "LabourClass",
    "LinkMiss",
    "LogicWork",
    "ModeDuty",
    "NeutralBond",
    "Node",
    "Notice",
    "OperatingMode",
    "PartSource",
    "PassThrough",
    "Payload",
    "Photo",
    "PlanResource",
    "PlanRun",
    "PlanSettings",
    "PriceContract",
    "Purchase",
    "PurchaseLine",
    "PurchaseOrder",
    "QuickPin",
    "Quote",
    "QuoteLine",
    "Requirement",
    "RequirementLink",
    "SectionWork",
    "Serial",
    "Shop",
    "Stage",
    "StageTemplate",
    "StockMove",
    "Supplier",
    "Supply",
    "Tablet",
    "Unit",
    "UnitDifference",
    "WorkEvent",
]
