"""Settings of the web server process (gunicorn), read by "manage.py up" and the Procfile.

Threads, not processes, carry the many slow tablet uploads; GUNICORN_CMD_ARGS may override any of
these, for example with --certfile and --keyfile to serve HTTPS without a proxy.
"""

import gc
import os
from typing import Any

from django.urls import get_resolver

from config.embedded import die_with_parent

_host, _port = os.environ.get("BIND", "127.0.0.1"), os.environ.get("PORT", "8000")
bind = f"[{_host}]:{_port}" if ":" in _host else f"{_host}:{_port}"
worker_class = "gthread"
workers = int(os.environ.get("WEB_WORKERS", "2"))
threads = int(os.environ.get("WEB_THREADS", "24"))
timeout = 60
graceful_timeout = 3
max_requests = 2000
max_requests_jitter = 200
# The control socket would sit in the home folder, shared by every installation of this user.
control_socket_disable = True
loglevel = "warning"


def on_starting(server: Any) -> None:
    if supervisor := os.environ.get("SUPERVISED"):
        die_with_parent(int(supervisor))


def post_fork(server: Any, worker: Any) -> None:
    die_with_parent(worker.ppid)


def post_worker_init(worker: Any) -> None:
    settle()


def settle() -> None:
    """Read all addresses now, and keep what lives as long as the process out of every collection.

    Otherwise the collector walks through all of Django and the shop's code again and again: in the
    edit of `python -m tests.bench` that cost a tenth of all time and pauses of 100 ms.
    """
    get_resolver().url_patterns  # noqa: B018 - reading it imports every view
    gc.collect()
    gc.freeze()
