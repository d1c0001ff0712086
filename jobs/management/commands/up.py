"""Serve the shop: broker, web and worker in one command."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from config.redis_server import RedisMissing
from config.supervisor import CannotStart, run


class Command(BaseCommand):
    help = "Run redis (unless REDIS_URL names one), the web server and the worker until stopped."

    def handle(self, *args: Any, **options: Any) -> None:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            raise CommandError("The database lacks tables. Run: python manage.py migrate")
        connection.close()
        if not settings.DEBUG and not (settings.STATIC_ROOT / "staticfiles.json").exists():
            raise CommandError(
                "Static files are not collected. Run: python manage.py collectstatic --noinput"
            )
        try:
            run(
                data_dir=settings.DATA_DIR,
                redis_socket=settings.REDIS_SOCKET,
                host=settings.BIND,
                port=settings.PORT,
                address=settings.PUBLIC_URL,
            )
        except (CannotStart, RedisMissing) as problem:
            raise CommandError(str(problem)) from None
