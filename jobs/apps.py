from importlib import import_module

from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "jobs"

    def ready(self) -> None:
        import_module("jobs.checks")
        import_module("jobs.intake.standings")
        import_module("jobs.quoting.standings")
