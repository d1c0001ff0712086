"""Measure what the calculation promises: python -m tests.bench [part ...]. Exits 1 on a miss.

Without a name all parts. Nothing here is a test: a busy machine may miss a budget, and the figures
say by how much.
"""

import os
import sys
import tempfile
from importlib import import_module

PARTS = ("editing", "checking", "solving", "proving", "mutating", "printing")


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        import django

        django.setup()
        import logging

        from django.core.management import call_command

        logging.disable(logging.WARNING)
        call_command("migrate", verbosity=0)
        missed = 0
        for name in sys.argv[1:] or PARTS:
            for figure in import_module(f"tests.bench.{name}").figures():
                print(figure, flush=True)
                missed += not figure.kept
    return 1 if missed else 0


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    sys.exit(main())
