"""The portal's settings as the tests use them: a database named by TEST_DATABASE_URL, plain static files, no HTTPS."""

import os
import tempfile

os.environ.setdefault("SECRET_KEY", "only-for-the-tests-0123456789abcdefghijklmnopqrstuvwxyz")
os.environ["DATABASE_URL"] = os.environ.get("TEST_DATABASE_URL", "")
os.environ.pop("REDIS_URL", None)

from portal.settings import *  # noqa: F403  (the settings under test, whole)
from portal.settings import DATABASES, STORAGES

_folder = tempfile.mkdtemp(prefix="benchring-tests-")
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # A file, not memory: live_server on the shared in-memory database says "table is locked".
    DATABASES["default"]["NAME"] = os.path.join(_folder, "portal.sqlite3")
    DATABASES["default"]["TEST"] = {"NAME": os.path.join(_folder, "test.sqlite3")}
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 0

# Tests speak plain http to localhost; `tests/portal/test_settings.py` checks the headers of a real deployment.
SECURE_SSL_REDIRECT = False
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = False
SESSION_COOKIE_NAME = "session"
CSRF_COOKIE_NAME = "csrf"
STORAGES = {
    **STORAGES,
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": _folder}},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# The walk over all addresses signs in once; on a busy machine it takes longer than a sign-in counts as fresh.
ACCOUNT_REAUTHENTICATION_TIMEOUT = 3600
