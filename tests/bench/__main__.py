"""Measure what the calculation promises: python -m tests.bench. Exits 1 when a budget is missed.

Nothing here is a test: a busy machine may miss a budget, and the figures say by how much.
"""

import os
import sys
import tempfile


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        import django

        django.setup()
        import logging

        logging.disable(logging.WARNING)
        from tests.bench import checking, editing, mutating, printing, proving, solving

        missed = 0
        for part in (editing, checking, solving, proving, mutating, printing):
            for figure in part.figures():
                print(figure, flush=True)
                missed += not figure.kept
    return 1 if missed else 0


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    sys.exit(main())
