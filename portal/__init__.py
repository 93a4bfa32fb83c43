"""Composition only: settings, addresses, the frame around pages, and what answers when something goes wrong."""

import os

# Celery takes a sixth of a second to import and only hurries things on: without a broker nobody needs it.
if os.environ.get("REDIS_URL"):
    from portal.celery import app as celery_app

    __all__ = ["celery_app"]
