"""Tokens: shown once, stored as a digest, revoked by a manager, worth nothing the moment the workshop isn't approved.

Outside sources: RFC 6750 (bearer tokens: the Authorization header, 401 with WWW-Authenticate), RFC 9457 (problem
details), RFC 9110 15.5.30 and 10.2.3 (429, Retry-After).
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from time_machine import TimeMachineFixture

from network import api_tokens
from network.access import acting_for
from network.models import ApiToken, Event, Workshop
from tests.cast import Cast, make_token

pytestmark = pytest.mark.django_db
PEOPLE = "/api/v1/people"


def ask(token: str, **headers: str) -> tuple[int, dict[str, object]]:
    answer = Client().get(PEOPLE, HTTP_AUTHORIZATION=f"Bearer {token}", **headers)  # type: ignore[arg-type]
    return answer.status_code, answer.json()


def test_a_token_is_shown_once_and_only_its_digest_is_stored(cast: Cast) -> None:
    client = Client()
    client.force_login(cast.manager.person)
    shown = client.post(reverse("api_tokens"), {"name": "Logger of bench 2"}).context["shown_once"]
    with acting_for(cast.a):
        row = ApiToken.objects.get()
    secret = shown.split("_", 2)[2]  # it may hold a "_" of its own
    assert len(secret) > 40 and secret not in str(vars(row)) and row.digest == api_tokens.digest_of(shown)
    assert shown not in client.get(reverse("api_tokens")).content.decode()
    assert ask(shown)[0] == 200


def test_a_token_opens_its_own_workshop_whoever_is_signed_in(cast: Cast) -> None:
    _row, text = make_token(cast.technician)
    client = Client()
    client.force_login(cast.member_of_b.person)
    answer = client.get(PEOPLE, HTTP_AUTHORIZATION=f"Bearer {text}")
    names = {one["name"] for one in answer.json()["results"]}
    assert cast.technician.person.name in names and cast.member_of_b.person.name not in names


@pytest.mark.parametrize(
    "header", ["", "Bearer", "Bearer x", "Basic eDp5", "Bearer benchring_1_" + "A" * 43, "Bearer é"]
)
def test_without_a_token_that_stands_the_answer_is_401_and_says_how(cast: Cast, header: str) -> None:
    answer = Client().get(PEOPLE, HTTP_AUTHORIZATION=header)
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, "Bearer")
    assert answer["Content-Type"] == "application/problem+json" and answer.json()["detail"]


def test_a_token_of_a_for_the_number_of_b_is_no_token(cast: Cast) -> None:
    _row, text = make_token(cast.technician)
    forged = text.replace(f"_{cast.a.pk}_", f"_{cast.b.pk}_")
    assert ask(forged)[0] == 401


def test_a_revoked_token_opens_nothing_and_is_revoked_once(cast: Cast) -> None:
    row, text = make_token(cast.technician)
    with acting_for(cast.a):
        assert [api_tokens.revoke(row, by=cast.manager) for _again in range(2)] == [True, False]
    assert ask(text)[0] == 401
    verbs = Event.objects.filter(subject_type="network.apitoken").values_list("verb", flat=True)
    assert list(verbs) == ["api_token_made", "api_token_revoked"]


def test_a_token_of_a_workshop_that_was_suspended_opens_nothing(cast: Cast) -> None:
    _row, text = make_token(cast.technician)
    Workshop.objects.get(pk=cast.a.pk).suspend(by=cast.administrator, reason="Insurance ran out.")
    assert ask(text)[0] == 401


def test_when_it_was_last_used_is_noted_once_a_minute(cast: Cast, time_machine: TimeMachineFixture) -> None:
    _row, text = make_token(cast.technician)
    noted = []
    for seconds in (0, 30, 61):
        time_machine.move_to(timezone.now() + timedelta(seconds=seconds), tick=False)
        ask(text)
        with acting_for(cast.a):
            noted.append(ApiToken.objects.get().last_used_at)
    assert noted[0] == noted[1] < noted[2]


def test_too_many_requests_are_told_when_to_come_again(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    _row, text = make_token(cast.technician)
    monkeypatch.setattr(api_tokens.PerToken, "rate", "3/min")
    answers = [Client().get(PEOPLE, HTTP_AUTHORIZATION=f"Bearer {text}") for _n in range(4)]
    assert [answer.status_code for answer in answers] == [200, 200, 200, 429]
    assert 0 < int(answers[3]["Retry-After"]) <= 60 and answers[3].json()["status"] == 429


def test_whoever_guesses_tokens_is_slowed_down_and_others_are_not(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    cache.clear()
    _row, text = make_token(cast.technician)
    monkeypatch.setattr(api_tokens.WrongTokens, "rate", "3/min")
    assert [ask("benchring_1_" + "A" * 43)[0] for _n in range(5)] == [401, 401, 401, 429, 429]
    assert ask(text)[0] == 200
