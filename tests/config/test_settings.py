"""The settings file as a whole, read by a fresh interpreter as an installation would read it."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]
SHOW = """
import json
from django.conf import settings as s
names = "DEBUG HTTPS SESSION_COOKIE_SECURE SESSION_COOKIE_NAME SECURE_HSTS_SECONDS PUBLIC_URL \
CSRF_TRUSTED_ORIGINS ALLOWED_HOSTS CELERY_BROKER_URL PORT \
EMAIL_BACKEND EMAIL_HOST EMAIL_PORT EMAIL_USE_TLS EMAIL_USE_SSL".split()
shown = {name: getattr(s, name) for name in names}
shown["engine"] = s.DATABASES["default"]["ENGINE"]
shown["options"] = s.DATABASES["default"]["OPTIONS"]
print(json.dumps(shown))
"""

pytestmark = pytest.mark.slow


def ask(code: str, data_dir: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=PROJECT,
        env={
            **kept,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "DATA_DIR": str(data_dir),
            **environment,
        },
        capture_output=True,
        text=True,
        timeout=60,
    )


def shown(data_dir: Path, **environment: str) -> dict:
    done = ask(SHOW, data_dir, **environment)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_settings_without_an_environment_are_safe_and_local(tmp_path: Path) -> None:
    found = shown(tmp_path)
    assert found["DEBUG"] is False
    assert found["PUBLIC_URL"] == "http://127.0.0.1:8000"
    assert found["CELERY_BROKER_URL"] == f"redis+socket://{tmp_path}/redis/r.sock"
    assert found["options"]["transaction_mode"] == "IMMEDIATE"
    assert "synchronous=FULL" in found["options"]["init_command"]


def test_settings_follow_the_port(tmp_path: Path) -> None:
    assert shown(tmp_path, PORT="8123")["CSRF_TRUSTED_ORIGINS"] == ["http://127.0.0.1:8123"]


def test_settings_demand_https_cookies_when_the_address_is_https(tmp_path: Path) -> None:
    found = shown(tmp_path, PUBLIC_URL="https://shop.example")
    assert found["SESSION_COOKIE_SECURE"] is True
    assert found["SESSION_COOKIE_NAME"] == "__Host-session"
    assert found["SECURE_HSTS_SECONDS"] == 365 * 24 * 3600
    assert found["ALLOWED_HOSTS"][0] == "shop.example"


def test_settings_take_outside_services(tmp_path: Path) -> None:
    found = shown(
        tmp_path, DATABASE_URL="postgres://u:p@db/upfit", REDIS_URL="redis://broker:6379/0"
    )
    assert found["engine"] == "django.db.backends.postgresql"
    assert "lock_timeout=5s" in found["options"]["options"]
    assert found["CELERY_BROKER_URL"] == "redis://broker:6379/0"


def test_mail_is_printed_until_a_post_server_is_named(tmp_path: Path) -> None:
    assert shown(tmp_path)["EMAIL_BACKEND"].endswith(".console.EmailBackend")
    found = shown(tmp_path, EMAIL_HOST="post.example")
    assert found["EMAIL_BACKEND"].endswith(".smtp.EmailBackend")
    assert (found["EMAIL_PORT"], found["EMAIL_USE_TLS"]) == (587, True)
    found = shown(tmp_path, EMAIL_HOST="post.example", EMAIL_USE_SSL="1")
    assert (found["EMAIL_PORT"], found["EMAIL_USE_TLS"]) == (465, False)


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("DEBUG", "perhaps", "DEBUG is 'perhaps'; it must be 1 or 0."),
        ("PORT", "port", "PORT is 'port'; it must be a whole number from 1 to 65535."),
        ("PUBLIC_URL", "shop", "PUBLIC_URL is 'shop'; it must look like https://shop.example"),
        ("DATABASE_URL", "oracle://x", "DATABASE_URL cannot be used (its scheme is 'oracle')"),
        ("REDIS_URL", "amqp://x", "REDIS_URL cannot be used; it must look like redis://"),
        ("TIME_ZONE", "Nowhere", "TIME_ZONE is 'Nowhere'; it must be a name such as UTC"),
        ("SECRET_KEY", "short", "SECRET_KEY has 5 characters; it must have 32 or more."),
        ("LOG_LEVEL", "loud", "LOG_LEVEL is 'loud'; it must be one of"),
    ],
)
def test_settings_stop_with_a_sentence(
    tmp_path: Path, name: str, value: str, sentence: str
) -> None:
    done = ask("import django; django.setup()", tmp_path, **{name: value})
    assert done.returncode != 0
    assert f"ImproperlyConfigured: {sentence}" in done.stderr


def test_secret_key_is_one_and_private_when_many_processes_start(tmp_path: Path) -> None:
    code = "from config.settings import SECRET_KEY; print(SECRET_KEY)"
    started = [
        subprocess.Popen(
            [sys.executable, "-c", code],
            cwd=PROJECT,
            env={**os.environ, "DATA_DIR": str(tmp_path), "SECRET_KEY": ""},
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(6)
    ]
    keys = {process.communicate(timeout=60)[0].strip() for process in started}
    assert len(keys) == 1
    assert len(keys.pop()) >= 50
    assert (tmp_path / "secret_key").stat().st_mode & 0o777 == 0o600
    assert [path.name for path in tmp_path.glob("secret_key*")] == ["secret_key"]
