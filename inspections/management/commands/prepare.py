"""Make the data folder ready to be served: tables, static files and, in an empty shop, the demo."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command, get_commands
from django.core.management.base import BaseCommand

from jobs.models import Shop


class Command(BaseCommand):
    help = "Create or update the tables, collect static files, load the demo into an empty shop."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--empty", action="store_true", help="load no demo")

    def handle(self, *args: Any, empty: bool, **options: Any) -> None:
        call_command("migrate", verbosity=0, interactive=False)
        call_command("collectstatic", verbosity=0, interactive=False)
        if empty or Shop.objects.exists() or "demo" not in get_commands():
            return
        call_command("demo", stdout=self.stdout)
