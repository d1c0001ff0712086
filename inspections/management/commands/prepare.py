"""Make the data folder ready to be served: tables, static files and, in an empty shop, the demo."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from config.access import ROLE_NAMES
from inspections.demo.load import NUMBER
from inspections.demo.rows import PASSPHRASE, PEOPLE
from jobs.models import Job, Shop


class Command(BaseCommand):
    help = "Create or update the tables, collect static files, load the demo into an empty shop."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--empty", action="store_true", help="load no demo")

    def handle(self, *args: Any, empty: bool, **options: Any) -> None:
        call_command("migrate", verbosity=0, interactive=False)
        call_command("collectstatic", verbosity=0, interactive=False)
        if empty:
            return
        if not Shop.objects.exists():
            self._load_demo()
        if Job.objects.filter(number=NUMBER).exists():
            self._say_who_may_sign_in()

    def _load_demo(self) -> None:
        """The demo and its delivery packet. A surprise in it is told and does not keep it shut."""
        self.stdout.write("Loading the demo and making its packet (about a minute) ...")
        try:
            call_command("demo_job", stdout=self.stdout)
        except CommandError as error:
            self.stderr.write(f"The demo job: {error}")

    def _say_who_may_sign_in(self) -> None:
        self.stdout.write(f"\nDemo people, all with the passphrase: {PASSPHRASE}")
        for username, first, last, roles in PEOPLE:
            held = ", ".join(ROLE_NAMES[role] for role in roles)
            self.stdout.write(f"  {username:10} {first} {last} ({held})")
        self.stdout.write("")
