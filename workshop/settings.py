"""Settings of the service. Everything that differs between installations is read from the environment.

The defaults are those of the embedded kind: SQLite and files under ``var/``, background jobs in the serving
process. ``WORKSHOP_ENV=production`` turns on what a public installation needs and makes the secrets
obligatory.
"""

from __future__ import annotations

from pathlib import Path

from django.conf.locale import LANG_INFO
from django.core.exceptions import ImproperlyConfigured

from workshop import environment as env

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env.text("WORKSHOP_VAR", str(BASE_DIR / "var")))

WORKSHOP_ENV = env.text("WORKSHOP_ENV", "embedded")
if WORKSHOP_ENV not in {"embedded", "production"}:
    raise ImproperlyConfigured(f"WORKSHOP_ENV must be embedded or production; it is {WORKSHOP_ENV!r}")
PRODUCTION = WORKSHOP_ENV == "production"

DEBUG = env.switch("WORKSHOP_DEBUG", default=False)
if DEBUG and PRODUCTION:
    raise ImproperlyConfigured("WORKSHOP_DEBUG cannot be on in production")


def _secret_key() -> str:
    """The key from the environment; the embedded kind makes one and keeps it beside its data."""
    if PRODUCTION:
        return env.text("WORKSHOP_SECRET_KEY")
    from workshop.secret import kept_secret  # noqa: PLC0415  production must not touch the disk for it

    return env.text("WORKSHOP_SECRET_KEY", "") or kept_secret(VAR_DIR / "secret-key")


SECRET_KEY = _secret_key()
ALLOWED_HOSTS = env.words("WORKSHOP_HOSTS", "" if PRODUCTION else "localhost,127.0.0.1,[::1]")
if PRODUCTION and not ALLOWED_HOSTS:
    raise ImproperlyConfigured("set WORKSHOP_HOSTS to the names this installation answers to, with commas")
CSRF_TRUSTED_ORIGINS = env.words("WORKSHOP_ORIGINS")
# The address that private links in messages and documents begin with.
_LOCAL_ADDRESS = f"http://localhost:{env.text('PORT', '8000')}"
PUBLIC_ADDRESS = env.text("WORKSHOP_ADDRESS", "" if PRODUCTION else _LOCAL_ADDRESS).rstrip("/")
if PRODUCTION and not PUBLIC_ADDRESS.startswith("https://"):
    raise ImproperlyConfigured("set WORKSHOP_ADDRESS to the public https:// address of this installation")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rest_framework",
    "rest_framework.authtoken",
    "drf_spectacular",
    "costing",
    "workshop",
    "workshop.people",
    "workshop.jobs",
    "workshop.orders",
    "workshop.planning",
    "workshop.desk",
    "workshop.bench",
    "workshop.counter",
    "workshop.api",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "workshop.people.middleware.WorkshopMiddleware",
    "workshop.middleware.NotOpenedMiddleware",
]

ROOT_URLCONF = "workshop.urls"
WSGI_APPLICATION = "workshop.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {"default": env.database("DATABASE_URL", f"sqlite:///{VAR_DIR / 'workshop.sqlite3'}")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
CSRF_FAILURE_VIEW = "workshop.views.not_sent_from_here"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"

# A workshop speaks English or a language that there is a catalog for, with its customers.
LANGUAGE_CODE = "en"
LOCALE_PATHS = [BASE_DIR / "workshop" / "locale"]
_CATALOGS = sorted(LOCALE_PATHS[0].glob("*/LC_MESSAGES/django.po"))
_LANGUAGES = [path.parts[-3].replace("_", "-").lower() for path in _CATALOGS]
LANGUAGES = [
    (code, LANG_INFO.get(code, {}).get("name_local", code).capitalize())
    for code in (LANGUAGE_CODE, *_LANGUAGES)
]
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATICFILES_DIRS: list[Path] = []  # each app keeps its own; the project's are in workshop/static
STATIC_ROOT = Path(env.text("WORKSHOP_STATIC", str(VAR_DIR / "static")))
WHITENOISE_USE_FINDERS = not PRODUCTION
MEDIA_ROOT = VAR_DIR / "files"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if PRODUCTION
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}

# Background jobs: "embedded" runs them in the serving process, "celery" wakes workers through Redis.
JOBS_RUNNER = env.text("WORKSHOP_JOBS", "celery" if PRODUCTION else "embedded")
if JOBS_RUNNER not in {"embedded", "celery", "manual"}:
    raise ImproperlyConfigured(f"WORKSHOP_JOBS must be embedded, celery or manual; it is {JOBS_RUNNER!r}")
REDIS_URL = env.text("REDIS_URL", None if JOBS_RUNNER == "celery" else "")
JOBS_THREADS = env.number("WORKSHOP_JOB_THREADS", 2, low=1, high=32)  # of an embedded installation
JOBS_LEASE_SECONDS = env.number("WORKSHOP_JOB_LEASE", 60, low=2, high=3600)  # a silent worker counts as dead
JOBS_SWEEP_SECONDS = env.number("WORKSHOP_JOB_SWEEP", 10, low=1, high=3600)
CELERY_BROKER_URL = REDIS_URL or "memory://"
CELERY_TASK_IGNORE_RESULT = True  # the job's row keeps the result
CELERY_TASK_PUBLISH_RETRY = (
    False  # a page must not wait for a broker that is away; the sweeper makes up for it
)
CELERY_BROKER_TRANSPORT_OPTIONS = {"socket_connect_timeout": 2, "socket_timeout": 10}
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BEAT_SCHEDULE = {
    "sweep": {
        "task": "workshop.jobs.tasks.sweep",
        "schedule": JOBS_SWEEP_SECONDS,
        "options": {"expires": JOBS_SWEEP_SECONDS},
    },
}

EMAIL_BACKEND = env.text(
    "WORKSHOP_EMAIL_BACKEND",
    "django.core.mail.backends.smtp.EmailBackend"
    if PRODUCTION
    else "django.core.mail.backends.filebased.EmailBackend",
)
EMAIL_FILE_PATH = VAR_DIR / "letters"
EMAIL_HOST = env.text("WORKSHOP_EMAIL_HOST", "localhost")
EMAIL_PORT = env.number("WORKSHOP_EMAIL_PORT", 25)
EMAIL_HOST_USER = env.text("WORKSHOP_EMAIL_USER", "")
EMAIL_HOST_PASSWORD = env.text("WORKSHOP_EMAIL_PASSWORD", "")
EMAIL_USE_TLS = env.switch("WORKSHOP_EMAIL_TLS", default=PRODUCTION)
DEFAULT_FROM_EMAIL = env.text("WORKSHOP_EMAIL_FROM", "workshop@localhost")

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "rest_framework.authentication.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_PAGINATION_CLASS": "rest_framework.pagination.LimitOffsetPagination",
    "DEFAULT_THROTTLE_RATES": {"token": "20/hour"},
    "PAGE_SIZE": 50,
    "EXCEPTION_HANDLER": "workshop.api.errors.refusal_handler",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Sewing workshop",
    "DESCRIPTION": "Orders, garments, drafts, quotes and fittings of a made-to-measure sewing workshop.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
}

SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"  # a private link must not leak to another site
SESSION_COOKIE_HTTPONLY = True
if PRODUCTION:
    SECURE_SSL_REDIRECT = env.switch("WORKSHOP_SSL_REDIRECT", default=True)
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_HSTS_SECONDS = env.number("WORKSHOP_HSTS_SECONDS", 31_536_000)
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.text("WORKSHOP_LOG_LEVEL", "INFO")},
    # Font subsetting narrates every table; only its warnings matter.
    "loggers": {
        "fontTools": {"level": "WARNING"},
        "pikepdf": {"level": "WARNING"},
        "ezdxf": {"level": "WARNING"},
        "weasyprint": {"level": "ERROR"},
    },
}
