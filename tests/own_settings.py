"""The portal's own settings on a database that a bench or trial made for itself; plain http, so that pages can be asked."""

import os

os.environ.setdefault("SECRET_KEY", "only-for-a-trial-0123456789abcdefghijklmnopqrstuvwxyz")
os.environ["DATABASE_URL"] = os.environ["TEST_DATABASE_URL"]
os.environ.pop("REDIS_URL", None)

from portal.settings import *  # noqa: F403  (the settings under test, whole)
from portal.settings import STORAGES

SECURE_SSL_REDIRECT = False
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = False
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "session", "csrf"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
ALLOWED_HOSTS = ["*"]
