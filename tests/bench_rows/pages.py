"""A page of 25 rows as a signed-in member gets it, against raw SQL and a faster template engine."""

from __future__ import annotations

import io
from collections.abc import Callable
from importlib import import_module
from typing import Any

from django.conf import settings
from django.core.wsgi import get_wsgi_application
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import clear_url_caches, path
from jinja2 import Environment

from network.access import MemberRequest
from tests import cast as made
from tests.bench_rows import POSTGRESQL, SQLITE, Pair, in_turns, row

MOST_QUERIES = 12
# The same rows in the same words; the frame round them is ours, put in as it is.
ROWS = """{{ before }}<table><tbody>{% for asked in rows %}<tr>
<th scope="row"><a href="/board/{{ asked.0 }}/">{{ asked.1 }}</a><p>{{ asked.2 }}</p></th>
<td><p>{{ asked.3 }}</p><p>{{ asked.4 }}, {{ asked.5 }}</p></td>
<td>{% if asked.6 %}<p>by {{ asked.6 }}</p>{% else %}<p>no day named</p>{% endif %}</td><td><p>{{ asked.8 }}</p></td>
</tr>{% endfor %}</tbody></table>"""


@row(
    path="the board, a page of 25 of 1 000 requests, for a member",
    reference="raw SQL and Jinja2, the same middleware",
    goal=1 / 0.35,
    engines=(SQLITE, POSTGRESQL),
)
def board(small: bool) -> Pair:
    cast = made.make_cast()
    client = Client()
    client.force_login(cast.member_of_b.person)
    counts = []
    for many in (30, 30 if small else 970):
        for _one in range(many):
            made.make_request(cast.technician)
        with CaptureQueriesContext(connection) as asked:
            answer = client.get("/board/")
        counts.append(len(asked))
    assert answer.status_code == 200
    assert max(counts) <= MOST_QUERIES and counts[0] == counts[1], f"{counts} queries for a page"
    cookie = client.cookies["session"].value
    addresses = import_module(settings.ROOT_URLCONF)
    addresses.urlpatterns += [path("ceiling/", ceiling(answer.content.decode()))]
    clear_url_caches()
    return in_turns(_asking("/board/", cookie), _asking("/ceiling/", cookie), rounds=10 if small else 80)


def _asking(path: str, cookie: str) -> Callable[[], bytes]:
    """Asks for a page as a server process does, middleware and all."""
    application = get_wsgi_application()

    def ask() -> bytes:
        environ: dict[str, Any] = {
            "REQUEST_METHOD": "GET", "PATH_INFO": path, "QUERY_STRING": "", "SERVER_NAME": "localhost",
            "SERVER_PORT": "80", "SERVER_PROTOCOL": "HTTP/1.1", "wsgi.input": io.BytesIO(), "wsgi.url_scheme": "http",
            "wsgi.errors": io.StringIO(), "wsgi.multithread": False, "wsgi.multiprocess": True, "wsgi.version": (1, 0),
            "wsgi.run_once": False, "HTTP_COOKIE": f"session={cookie}",
        }  # fmt: skip
        told: list[str] = []
        body = b"".join(application(environ, lambda status, headers: told.append(status)))  # type: ignore[arg-type]
        assert told == ["200 OK"], told
        return body

    return ask


def ceiling(page: str) -> Callable[[MemberRequest], HttpResponse]:
    """A view for the same person, behind the same middleware: counts and rows by raw SQL, rendered by Jinja2."""
    template = Environment(autoescape=True).from_string(ROWS)
    before = page.partition("<table")[0]
    seen = (
        " FROM parts_partrequest r JOIN network_workshop w ON w.id = r.asked_by_workshop_id WHERE r.state = 'open'"
        " AND r.id IN (SELECT partrequest_id FROM parts_partrequest_regions WHERE region_id = %s)"
    )
    columns = "r.id, r.number, r.description, w.name, w.town, r.asked_at, r.needed_by, r.off_road, r.state"

    def view(request: MemberRequest) -> HttpResponse:
        region = [request.membership.workshop.region_id]
        with connection.cursor() as cursor:
            cursor.execute("SELECT count(*)" + seen, region)
            cursor.fetchone()
            cursor.execute(f"SELECT {columns}{seen} ORDER BY r.asked_at DESC LIMIT 25", region)
            return HttpResponse(template.render(before=before, rows=cursor.fetchall()))

    return view
