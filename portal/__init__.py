"""Composition only: settings, addresses, the frame around pages, and what answers when something goes wrong."""

from portal.celery import app as celery_app

__all__ = ["celery_app"]
