"""The one settings file. What differs between installations comes from the environment."""

from datetime import timedelta
from importlib.resources import files
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF

from config import environment
from config.embedded import local_secret, redis_socket
from config.environment import env_choice, env_flag, env_int, env_list, env_text

BASE_DIR = Path(__file__).resolve().parent.parent


DEBUG = env_flag("DEBUG")
DATA_DIR = environment.data_dir(BASE_DIR / "var")
SECRET_KEY = environment.secret_key() or local_secret(DATA_DIR)

# Where "manage.py up" listens. 0.0.0.0 opens the shop to its own network.
BIND = env_text("BIND", "127.0.0.1")
PORT = env_int("PORT", 8000, most=65_535)

# The address people type. Its scheme decides whether cookies demand HTTPS.
PUBLIC_URL = environment.public_url(f"http://127.0.0.1:{PORT}")
PUBLIC_HOST = urlsplit(PUBLIC_URL).hostname or ""
HTTPS = PUBLIC_URL.startswith("https:")
ALLOWED_HOSTS = [PUBLIC_HOST, *env_list("ALLOWED_HOSTS", "localhost,127.0.0.1")]
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
    "jobs.people.middleware.keep_private",
    "jobs.people.middleware.drop_broken_cookies",
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
    "jobs.people.middleware.PinPages",
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
DATABASES = {"default": environment.database(DATA_DIR / "db.sqlite3")}
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
OLD_SQLITE_OK = env_flag("OLD_SQLITE_OK")
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
SECURE_REDIRECT_EXEMPT = [r"^healthz$", r"^readyz$"]  # machines ask from inside, without TLS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
# The shop answers for its own host name, not for its whole domain or a browser's built-in list.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if env_flag("BEHIND_PROXY"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    MIDDLEWARE.insert(0, "jobs.people.middleware.behind_proxy")

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
FILE_UPLOAD_HANDLERS = ["config.uploads.LimitedUploadHandler"]
FILE_UPLOAD_TEMP_DIR = DATA_DIR / "uploads"
FILE_UPLOAD_TEMP_DIR.mkdir(exist_ok=True)
EVIDENCE_DIR = DATA_DIR / "evidence"
PREVIEW_DIR = DATA_DIR / "previews"
DOCUMENT_DIR = DATA_DIR / "documents"

# --- Static files: our own, and fonts straight from their installed packages ---
STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(exist_ok=True)
STATICFILES_DIRS = [
    BASE_DIR / "config" / "static",
    ("font/text", str(files("fontpkg_atkinson_hyperlegible") / "files")),
    ("font/mono", str(files("fontpkg_ibm_plex_mono") / "files")),
]
_plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": _plain if DEBUG else "config.static_files.HashedStorage"},
}

# --- Language and time ---
LANGUAGE_CODE = "en-us"
USE_I18N, USE_TZ = False, True
TIME_ZONE = environment.time_zone("UTC")

# --- Mail: to the console until a server is named ---
EMAIL_HOST = env_text("EMAIL_HOST")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'console'}.EmailBackend"
EMAIL_USE_SSL = env_flag("EMAIL_USE_SSL", default=False)
EMAIL_USE_TLS = env_flag("EMAIL_USE_TLS", default=not EMAIL_USE_SSL)
EMAIL_PORT = env_int("EMAIL_PORT", 465 if EMAIL_USE_SSL else 587)
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = env_text("EMAIL_HOST_USER"), env_text("EMAIL_HOST_PASSWORD")
EMAIL_TIMEOUT = 20  # seconds that a worker waits for a post server that does not answer
DEFAULT_FROM_EMAIL = env_text("DEFAULT_FROM_EMAIL", "shop@localhost")

# --- Background work: the broker only rings the bell, the table holds the truth ---
# Without REDIS_URL "manage.py up" starts a server of its own on this socket.
REDIS_SOCKET = None if env_text("REDIS_URL") else redis_socket(DATA_DIR)
CELERY_BROKER_URL = environment.broker(f"redis+socket://{REDIS_SOCKET}")
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_TIME_LIMIT = env_int("TASK_TIME_LIMIT", 120)
CELERY_TASK_SOFT_TIME_LIMIT = max(CELERY_TASK_TIME_LIMIT - 20, 5)
CELERY_WORKER_MAX_TASKS_PER_CHILD = 50
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 600_000
CELERY_WORKER_HIJACK_ROOT_LOGGER = CELERY_WORKER_REDIRECT_STDOUTS = False
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
CELERY_BEAT_SCHEDULER = "celery.beat:Scheduler"  # in memory; a sweep too early is harmless
# A worker beside the embedded broker is the only one; starting, it takes over unfinished work.
SOLE_WORKER = env_flag("SOLE_WORKER", default=REDIS_SOCKET is not None)
# A silent worker keeps its claims so long; each finished section renews them.
LEASE_SECONDS = env_int("LEASE_SECONDS", 60)
SWEEP_SECONDS = env_int("SWEEP_SECONDS", 30)
SWEEPS = [f"jobs.sweep_{rows}" for rows in ("documents", "logic", "notices", "photos")]
CELERY_BEAT_SCHEDULE = {name: {"task": name, "schedule": SWEEP_SECONDS} for name in SWEEPS}

LOG_LEVEL = env_choice("LOG_LEVEL", "WARNING", environment.LOG_LEVELS)
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"()": "config.logs.LineFormatter"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": LOG_LEVEL},
}
