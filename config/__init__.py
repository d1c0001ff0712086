"""Settings and wiring. Importing it swaps in the newer SQLite first.

The SQLite of many systems (3.7.0 to 3.51.2) can, very rarely, corrupt a write-ahead log that two
connections write and checkpoint at once. The pysqlite3 wheel brings a fixed one; where no wheel
exists the standard library serves and a system check warns (jobs/checks.py).
"""

import os
import sys

try:
    import pysqlite3
    import pysqlite3.dbapi2
except ImportError:  # no wheel for this platform
    pass
else:
    sys.modules["sqlite3"] = pysqlite3
    sys.modules["sqlite3.dbapi2"] = pysqlite3.dbapi2

# Homebrew's folders are not where a Python from elsewhere looks for Pango.
if sys.platform == "darwin":
    os.environ.setdefault("DYLD_FALLBACK_LIBRARY_PATH", "/opt/homebrew/lib:/usr/local/lib:/usr/lib")
