"""The one settings file: driven by the environment, safe by default.

Every variable is listed in DEVELOPERS.md; a test holds that table equal to the names read here.
"""

import contextlib
import secrets
import sqlite3
import sys
from pathlib import Path
from urllib.parse import urlsplit

import environ
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

env = environ.Env()
BASE_DIR = Path(__file__).resolve().parent.parent

DATA_DIR = Path(env.str("DATA_DIR", default=str(BASE_DIR / "var" / "shop")))
DEBUG = env.bool("DEBUG", default=False)
PUBLIC_URL = env.str("PUBLIC_URL", default="http://127.0.0.1:8000").rstrip("/")
_public = urlsplit(PUBLIC_URL)
HTTPS = _public.scheme == "https"


def _secret_key() -> str:
    """Return SECRET_KEY, or the one kept in the data folder, made on first use for this machine only."""
    given: str = env.str("SECRET_KEY", default="")
    if given:
        return given
    kept = DATA_DIR / "secret_key"
    if not kept.exists():
        # Written whole under another name, then linked: two first starts at once agree on one key.
        DATA_DIR.mkdir(parents=True, exist_ok=True)
        half = DATA_DIR / f"secret_key.{secrets.token_hex(8)}"
        half.touch(mode=0o600)
        half.write_text(secrets.token_urlsafe(64), encoding="ascii")
        with contextlib.suppress(FileExistsError):
            kept.hardlink_to(half)
        half.unlink()
    return kept.read_text(encoding="ascii").strip()


SECRET_KEY = _secret_key()
ALLOWED_HOSTS = [_public.hostname or "127.0.0.1", "127.0.0.1", "localhost", *env.list("ALLOWED_HOSTS", default=[])]
CSRF_TRUSTED_ORIGINS = [PUBLIC_URL] if HTTPS else []

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "csp",
    "django_htmx",
    "workshop.core",
    "intake",
    "workshop.parts",
    "workshop.bench",
    "workshop.pricing",
    "handover",
    "workshop.desk",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "workshop.core.middleware.SignInMiddleware",
    "workshop.core.middleware.PressOnlyMiddleware",
    "workshop.core.middleware.DraftMiddleware",
    "workshop.core.middleware.LookingMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "workshop.urls"
WSGI_APPLICATION = "workshop.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "core.User"
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign_in"
CSRF_FAILURE_VIEW = "workshop.core.views.door.csrf_failure"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
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
                "workshop.core.context.shop",
            ],
        },
    },
]


def _journal_mode() -> str:
    """Choose WAL only where SQLite carries the fix for the WAL-reset fault (3.51.3, 3.50.7, 3.44.6)."""
    version = sqlite3.sqlite_version_info
    fixed = version >= (3, 51, 3) or (3, 50, 7) <= version < (3, 51) or (3, 44, 6) <= version < (3, 45)
    return "WAL" if fixed else "DELETE"


DATABASES = {"default": env.db_url("DATABASE_URL", default=f"sqlite:///{DATA_DIR / 'second-pull.sqlite3'}")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": f"PRAGMA journal_mode={_journal_mode()}; PRAGMA synchronous=FULL;",
    }
    # A file, not memory: the browser journeys talk to it from a second thread.
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / "test.sqlite3")}

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.str("TIME_ZONE", default="UTC")
USE_I18N = True
LOCALE_PATHS = [BASE_DIR / "handover" / "locale"]  # the one catalogue a language: papers, page and calendar for buyers
USE_TZ = True

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = DATA_DIR / "static"
MEDIA_ROOT = DATA_DIR / "media"
WHITENOISE_USE_FINDERS = True
# Hashed names while and once `collectstatic` has run (demo and open-shop do); plain names before, as in tests.
_hashed = "collectstatic" in sys.argv or (STATIC_ROOT / "staticfiles.json").exists()
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if _hashed
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
PHOTO_MAX_BYTES = 25 * 1024 * 1024
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FILES = 30

SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 14 * 24 * 3600
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if env.bool("BEHIND_PROXY", default=False) else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "font-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

# Mail for care reminders: without MAIL_HOST none is offered. The queue stands in the database.
EMAIL_HOST = env.str("MAIL_HOST", default="")
EMAIL_PORT = env.int("MAIL_PORT", default=587)
EMAIL_HOST_USER = env.str("MAIL_USER", default="")
EMAIL_HOST_PASSWORD = env.str("MAIL_PASSWORD", default="")
_mail_security = env.str("MAIL_SECURITY", default="starttls")
if _mail_security not in ("starttls", "tls", "none"):
    raise ImproperlyConfigured("MAIL_SECURITY is starttls, tls or none.")
EMAIL_USE_TLS, EMAIL_USE_SSL = _mail_security == "starttls", _mail_security == "tls"
EMAIL_TIMEOUT = 15  # seconds: a press waits for it
DEFAULT_FROM_EMAIL = env.str("MAIL_FROM", default=EMAIL_HOST_USER)
if EMAIL_HOST and "@" not in DEFAULT_FROM_EMAIL:
    raise ImproperlyConfigured("MAIL_FROM is the address that reminders come from: set it beside MAIL_HOST.")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", default="WARNING")},
}
