"""The Celery application: JSON only, tasks acknowledged after the work, nothing kept that a row doesn't hold."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")

app = Celery("benchring")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.conf.update(
    task_serializer="json",
    accept_content=["json"],
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    task_time_limit=110,  # below the lease of a claimed notice
    worker_prefetch_multiplier=1,
    broker_connection_retry_on_startup=True,
    broker_transport_options={
        "socket_connect_timeout": 1,
        "socket_timeout": 5,
        "visibility_timeout": 600,
        "max_retries": 0,  # a hint that finds no broker is given up at once: without it, each costs six seconds
    },
    beat_schedule={
        "sweep notices": {"task": "network.tasks.deliver_due", "schedule": 10.0},
        "ask about repairs whose date has come": {"task": "jobs.tasks.ask_outcomes", "schedule": 3600.0},
        "tell of estimates that lapsed": {"task": "jobs.tasks.tell_of_lapsed_estimates", "schedule": 3600.0},
        "tell of proofs that run out": {"task": "network.tasks.tell_of_papers", "schedule": 3600.0},
        "let requests lapse": {"task": "parts.tasks.lapse_requests", "schedule": 3600.0},
    },
)
app.autodiscover_tasks()
