"""The one settings file. What differs between installations comes from the environment."""

import os
from datetime import timedelta
from importlib.resources import files
from pathlib import Path
from urllib.parse import urlsplit

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from config.embedded import local_secret, redis_socket

BASE_DIR = Path(__file__).resolve().parent.parent


def env_flag(name: str, default: bool = False) -> bool:
    """A yes/no setting. Anything but 0/1/true/false/yes/no is an error, not a guess."""
    value = os.environ.get(name, "").strip().lower()
    if value in ("1", "true", "yes"):
        return True
    if value in ("0", "false", "no"):
        return False
    if value == "":
        return default
    raise ImproperlyConfigured(f"{name} is {value!r}; it must be 1 or 0.")


def env_int(name: str, default: int, *, least: int = 1, most: int = 86_400) -> int:
    value = os.environ.get(name, "").strip() or str(default)
    if not (value.isascii() and value.isdigit() and least <= int(value[:9]) <= most):
        raise ImproperlyConfigured(
            f"{name} is {value!r}; it must be a whole number from {least} to {most}."
        )
    return int(value)


DEBUG = env_flag("DEBUG")
DATA_DIR = Path(os.environ.get("DATA_DIR", BASE_DIR / "var")).resolve()
DATA_DIR.mkdir(parents=True, exist_ok=True)
SECRET_KEY = os.environ.get("SECRET_KEY") or local_secret(DATA_DIR)

# Where "manage.py up" listens. 0.0.0.0 opens the shop to its own network.
BIND = os.environ.get("BIND", "127.0.0.1")
PORT = env_int("PORT", 8000, most=65_535)

# The address people type. Its scheme decides whether cookies demand HTTPS.
PUBLIC_URL = (os.environ.get("PUBLIC_URL") or f"http://127.0.0.1:{PORT}").rstrip("/")
_public = urlsplit(PUBLIC_URL)
if _public.scheme not in ("http", "https") or not _public.hostname:
    raise ImproperlyConfigured(
        f"PUBLIC_URL is {PUBLIC_URL!r}; it must look like https://shop.example."
    )
HTTPS = _public.scheme == "https"
ALLOWED_HOSTS = [
    _public.hostname,
    *filter(None, os.environ.get("ALLOWED_HOSTS", "localhost,127.0.0.1").split(",")),
]
CSRF_TRUSTED_ORIGINS = [PUBLIC_URL]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.forms",
    "django_htmx",
    "template_partials",
    "django_filters",
    "lucide",
    "sequences",
    "axes",
    "csp",
    "catalog",
    "jobs",
    "inspections",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "jobs.people.middleware.clear_answers",
    "jobs.people.middleware.FirstRunMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "jobs.people.context.shop",
            ],
            "builtins": ["jobs.templatetags.units"],
        },
    }
]
FORM_RENDERER = "jobs.people.context.FormRenderer"

# --- Database: SQLite beside the code by default, PostgreSQL by DATABASE_URL ---
DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL", f"sqlite:///{DATA_DIR / 'db.sqlite3'}")
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # FULL: a commit that was confirmed survives a power cut. IMMEDIATE: a writer waits its turn
    # instead of failing half-way. recursive_triggers: REPLACE cannot pass the append-only guard.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"
            "PRAGMA recursive_triggers=ON; PRAGMA journal_size_limit=67108864;"
        ),
    }
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 60
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
    DATABASES["default"].setdefault("OPTIONS", {})["options"] = (
        "-c lock_timeout=5s -c statement_timeout=30s -c idle_in_transaction_session_timeout=60s"
    )
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- Signing in ---
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "jobs:sign_in"
LOGIN_REDIRECT_URL = "inspections:my_day"
LOGOUT_REDIRECT_URL = "jobs:sign_in"
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "jobs/people/locked_out.html"

SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_NAME = "__Host-session" if HTTPS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if HTTPS else "csrf"
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^healthz$"]  # machines ask from inside, without TLS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if env_flag("BEHIND_PROXY"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}

# --- Uploads ---
LARGEST_PHOTO_BYTES = 25 * 1024 * 1024
LARGEST_SHEET_BYTES = 5 * 1024 * 1024
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FILES = 10
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000
FILE_UPLOAD_TEMP_DIR = DATA_DIR / "uploads"
FILE_UPLOAD_TEMP_DIR.mkdir(exist_ok=True)
EVIDENCE_DIR = DATA_DIR / "evidence"
PREVIEW_DIR = DATA_DIR / "previews"
DOCUMENT_DIR = DATA_DIR / "documents"

# --- Static files: our own, and fonts straight from their installed packages ---
STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [
    BASE_DIR / "config" / "static",
    ("font/text", str(files("fontpkg_atkinson_hyperlegible") / "files")),
    ("font/mono", str(files("fontpkg_ibm_plex_mono") / "files")),
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": (
            "django.contrib.staticfiles.storage.StaticFilesStorage"
            if DEBUG
            else "whitenoise.storage.CompressedManifestStaticFilesStorage"
        )
    },
}

# --- Language and time ---
LANGUAGE_CODE = "en-us"
USE_I18N = False
TIME_ZONE = os.environ.get("TIME_ZONE", "UTC")
USE_TZ = True

# --- Mail: to the console until a server is named ---
EMAIL_BACKEND = os.environ.get("EMAIL_BACKEND", "django.core.mail.backends.console.EmailBackend")
DEFAULT_FROM_EMAIL = os.environ.get("DEFAULT_FROM_EMAIL", "shop@localhost")

# --- Background work: the broker only rings the bell, the table holds the truth ---
REDIS_URL = os.environ.get("REDIS_URL", f"redis+socket://{redis_socket(DATA_DIR)}")
CELERY_BROKER_URL = REDIS_URL
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_TIME_LIMIT = env_int("TASK_TIME_LIMIT", 120)
CELERY_TASK_SOFT_TIME_LIMIT = max(CELERY_TASK_TIME_LIMIT - 20, 5)
CELERY_WORKER_MAX_TASKS_PER_CHILD = 50
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 600_000
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = False
CELERY_TASK_PUBLISH_RETRY_POLICY = {"max_retries": 1, "interval_start": 0, "interval_step": 0.2}
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "visibility_timeout": 600,
    "unacked_restore_interval": 10,
    "unacked_restore_throttle": 1,
    "socket_timeout": 2,
    "socket_connect_timeout": 1,
}
CELERY_BEAT_SCHEDULE_FILENAME = str(DATA_DIR / "beat-schedule")
# How long a claimed row stays claimed before another worker may take it over.
LEASE_SECONDS = CELERY_TASK_TIME_LIMIT + 30
SWEEP_SECONDS = env_int("SWEEP_SECONDS", 30)
CELERY_BEAT_SCHEDULE = {
    "sweep-documents": {"task": "jobs.sweep_documents", "schedule": SWEEP_SECONDS},
    "sweep-photos": {"task": "jobs.sweep_photos", "schedule": SWEEP_SECONDS},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"},
    },
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": os.environ.get("LOG_LEVEL", "WARNING")},
}
