"""Whatever stands in the address: an answer, or a problem document of the 400 kind."""

from __future__ import annotations

from urllib.parse import quote_from_bytes, urlencode

import pytest
from django.test import Client
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from network.work import Work
from tests.cast import make_place

pytestmark = pytest.mark.django_db
NAMES = ["country", "postcode", "radius_km", "work", "limit"]
SPECIAL = [
    "",
    "0",
    "-1",
    "1e999",
    "9e99",
    "NaN",
    "inf",
    "-inf",
    "1_0",
    "٤",
    "9" * 400,
    "\0",
    "BE\0",
    "\ud800",
    "é",
    "null",
]
values = st.one_of(
    st.sampled_from(["BE", "4000", "50", "20", *Work.values, *SPECIAL]), st.text(max_size=12), st.floats().map(str),
    st.integers().map(str),
)  # fmt: skip
pairs = st.lists(st.tuples(st.one_of(st.sampled_from(NAMES), st.text(max_size=8)), values), max_size=8)
unhurried = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def asked(raw: str) -> None:
    """The answer is JSON of the agreed shape, or says as problem details (RFC 9457) what is wrong."""
    answer = Client(raise_request_exception=False).get(f"/api/v1/workshops/near?{raw}")
    body = answer.json()
    if answer.status_code == 200:
        assert set(body) == {"place", "results", "beyond"} and answer["Content-Type"] == "application/json"
        return
    assert answer.status_code in (400, 404) and body["status"] == answer.status_code and body["detail"]
    assert answer["Content-Type"] == "application/problem+json"


@unhurried
@given(pairs)
def test_no_parameters_whatever_are_an_error_of_ours(given_pairs: list[tuple[str, str]]) -> None:
    asked(
        urlencode(
            [(name.encode("utf-8", "surrogatepass"), v.encode("utf-8", "surrogatepass")) for name, v in given_pairs]
        )
    )


@unhurried
@given(st.binary(max_size=40))
@example(b"country=BE&postcode=%ED%A0%80")  # a lone surrogate in UTF-8
@example(b"country=BE&postcode=%FF%FE&radius_km=%00")
@example(b"=&=&&%&%zz&;")
def test_no_bytes_whatever_are_an_error_of_ours(raw: bytes) -> None:
    asked(quote_from_bytes(raw, safe="%&=;+"))


@pytest.fixture
def liege(db: None) -> None:
    make_place("BE", "4000")


@pytest.mark.usefixtures("liege")
@unhurried
@given(pairs)
def test_a_good_question_with_more_beside_it_is_answered_or_refused(more: list[tuple[str, str]]) -> None:
    good = [("country", "BE"), ("postcode", "4000")]
    asked(urlencode([(name.encode("utf-8", "replace"), v.encode("utf-8", "replace")) for name, v in good + more]))
