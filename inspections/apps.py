from importlib import import_module

from django.apps import AppConfig
from django.db.models.signals import post_migrate

from jobs.audit.append_only import guard_after_migrate


class InspectionsConfig(AppConfig):
    name = "inspections"
    append_only = (
        "inspections_result",
        "inspections_resultphoto",
        "inspections_acceptance",
        "inspections_asreleased",
        "inspections_frozenpacket",
        "inspections_checktemplate",
    )

    def ready(self) -> None:
        import_module("inspections.handover.standings")
        import_module("inspections.release.gates")
        import_module("inspections.checklists.effects")
        import_module("inspections.checklists.coverage")
        import_module("inspections.handover.accepted")
        import_module("inspections.as_built.snapshot")
        post_migrate.connect(guard_after_migrate, sender=self)
