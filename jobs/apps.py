from importlib import import_module

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class JobsConfig(AppConfig):
    name = "jobs"
    append_only = ("jobs_auditevent", "jobs_workevent", "jobs_decision", "jobs_stockmove")

    def ready(self) -> None:
        import_module("jobs.checks")
        for slice_ in ("intake", "quoting", "build_sheet", "stages", "buying"):
            import_module(f"jobs.{slice_}.standings")
        guard = import_module("jobs.audit.append_only")
        post_migrate.connect(guard.guard_after_migrate, sender=self)
