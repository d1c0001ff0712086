"""Versions of control logic kept for a job."""

from inspections.demo.rows import read
from jobs.controls.codec import from_json, sha256, to_json
from jobs.models import ControlLogic, Job
from tests.factories import make_job


def keep(data, *, job: Job | None = None, version: str = "1") -> ControlLogic:
    logic = from_json(data | {"version": version})
    return ControlLogic.objects.create(
        job=job or make_job(),
        version=version,
        logic=to_json(logic),
        sha256=sha256(logic),
        note="First",
        made_by="Dan Birch",
    )


def keep_demo(version: str = "1.3", job: Job | None = None) -> ControlLogic:
    return keep(read(f"logic_v{version.replace('.', '_')}"), version=version, job=job)
