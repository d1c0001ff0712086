"""Loading the demo, once: asked again it leaves everything as it is."""

from datetime import date

from django.contrib.auth.models import User
from django.db import transaction

from inspections.demo import rows
from jobs.models import Job

NUMBER = "KS-1042"


@transaction.atomic
def load_design() -> tuple[Job, dict[str, User]]:
    """The shop, its people, the parts and the job as designed, before any money or work."""
    rows.make_shop()
    people = rows.make_people()
    parts = rows.make_parts("Nessa Quarrie")
    data = rows.read("job")
    agency = rows.make_agency(data["agency"])
    job = Job.objects.filter(number=NUMBER).first()
    if job is None:
        job = Job.objects.create(
            number=NUMBER,
            agency=agency,
            title=data["title"],
            vehicle=data["vehicle"],
            enquired_on=date.fromisoformat(data["enquired_on"]),
            promised_on=date.fromisoformat(data["promised_on"]),
        )
        rows.make_unit(job, data["unit"])
        rows.make_promises(job, data)
        rows.make_circuits(job, data, rows.make_build_sheet(job, data, parts))
    return job, people
