"""What is built: parts at places, circuits that feed them, modes that use them. Re-exports only."""

from jobs.build_sheet.ac_models import AcBranch, AcSide, NeutralBond
from jobs.build_sheet.circuit_models import (
    Circuit,
    CircuitLoad,
    Conductor,
    DeviceKind,
    Feed,
    Node,
    ReturnPath,
    Supply,
)
from jobs.build_sheet.import_models import BuildImport
from jobs.build_sheet.kept_models import AcceptedFinding, DesignRevision
from jobs.build_sheet.line_models import BuildLine, Payload, Section, Serial, UnitDifference, Zone
from jobs.build_sheet.logic_models import AcceptedRisk, ControlLogic, LogicWork
from jobs.build_sheet.mode_models import ModeDuty, OperatingMode
from jobs.build_sheet.opening_models import PassThrough
from jobs.build_sheet.sizing_models import AppliedChange

__all__ = [
    "AcBranch",
    "AcSide",
    "AcceptedFinding",
    "AcceptedRisk",
    "AppliedChange",
    "BuildImport",
    "BuildLine",
    "Circuit",
    "CircuitLoad",
    "Conductor",
    "ControlLogic",
    "DesignRevision",
    "DeviceKind",
    "Feed",
    "LogicWork",
    "ModeDuty",
    "NeutralBond",
    "Node",
    "OperatingMode",
    "PassThrough",
    "Payload",
    "ReturnPath",
    "Section",
    "Serial",
    "Supply",
    "UnitDifference",
    "Zone",
]
