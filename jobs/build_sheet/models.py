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
from jobs.build_sheet.kept_models import AcceptedFinding, ControlLogic, DesignRevision
from jobs.build_sheet.line_models import BuildLine, Payload, Section, Serial, Zone
from jobs.build_sheet.mode_models import ModeDuty, OperatingMode
from jobs.build_sheet.sizing_models import AppliedChange

__all__ = [
    "AcBranch",
    "AcSide",
    "AcceptedFinding",
    "AppliedChange",
    "BuildLine",
    "Circuit",
    "CircuitLoad",
    "Conductor",
    "ControlLogic",
    "DesignRevision",
    "DeviceKind",
    "Feed",
    "ModeDuty",
    "NeutralBond",
    "Node",
    "OperatingMode",
    "Payload",
    "ReturnPath",
    "Section",
    "Serial",
    "Supply",
    "Zone",
]
