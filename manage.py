#!/usr/bin/env python
"""Run a management command: python manage.py COMMAND."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    from django.core.management import execute_from_command_line

    import config.celery  # noqa: F401 (commands that queue work ring this application's bell)

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
