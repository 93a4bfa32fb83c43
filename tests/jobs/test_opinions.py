"""Other workshops confirm or contradict an outcome; an administrator takes one down with a reason."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import opinions, sharing
from jobs.models import Job, Opinion, Outcome
from network import pictures
from network.access import acting_for
from network.models import Notice, SharedPicture
from tests.cast import Cast, make_job, make_picture

SYMPTOM = "Stops uphill when warm"


@pytest.fixture
def job(cast: Cast) -> Iterator[Job]:
    made = make_job(cast.technician)
    with acting_for(cast.a):
        Job.objects.filter(pk=made.pk).update(handed_over_at=timezone.now() - datetime.timedelta(days=3))
        yield Job.objects.select_related("vehicle__customer").get(pk=made.pk)


@pytest.fixture
def outcome(cast: Cast, job: Job) -> Outcome:
    return sharing.share(
        job=job, by=cast.technician, symptom=SYMPTOM, cause="Fan duct blocked", repair_method="revised_part"
    )


def test_a_second_workshop_confirms_and_may_change_its_mind_and_the_sharer_is_told(
    cast: Cast, outcome: Outcome
) -> None:
    for confirms in (True, False):
        opinions.give(outcome=outcome, by=cast.member_of_b, confirms=confirms, words="Ours had the same duct.")
    assert [one.confirms for one in Opinion.objects.all()] == [False]
    told = Notice.objects.filter(person=cast.technician.person, event__verb__startswith="outcome_con")
    assert sorted(told.values_list("subject", flat=True)) == [
        "Hybridwerk Rureifel confirms your outcome",
        "Hybridwerk Rureifel contradicts your outcome",
    ]


def test_nobody_confirms_an_outcome_of_its_own_or_one_that_is_gone(cast: Cast, outcome: Outcome) -> None:
    facts = {"outcome": outcome, "confirms": True, "words": "Yes"}
    with pytest.raises(opinions.NotByItself):
        opinions.give(by=cast.technician, **facts)
    opinions.take_down(outcome=outcome, by=cast.administrator, reason="Names the car.")
    with pytest.raises(opinions.NotByItself):
        opinions.give(by=cast.member_of_b, **facts)


@pytest.mark.parametrize("words", ["write to someone@mail.example", "VIN JH2RC3605MM101581", "call +49 30 23125 900"])
def test_the_verbs_refuse_what_tells_who_it_was_whoever_calls_them(cast: Cast, job: Job, words: str) -> None:
    said = {"symptom": SYMPTOM, "cause": words, "repair_method": "revised_part"}
    with pytest.raises(sharing.TellsTooMuch):
        sharing.share(job=job, by=cast.technician, **said)
    with pytest.raises(sharing.TellsTooMuch):
        sharing.share_earlier(
            by=cast.technician,
            family=None,
            part_kind="inverter",
            known_as="x",
            repaired_on=timezone.localdate(),
            **said,
        )
    assert not Outcome.objects.exists()


def test_the_verb_knows_the_jobs_own_names_too(cast: Cast, job: Job) -> None:
    with pytest.raises(sharing.TellsTooMuch, match="Terwold"):
        sharing.share(job=job, by=cast.technician, symptom="Terwold's car", cause="Duct", repair_method="revised_part")


def test_taken_down_it_is_gone_for_members_and_its_workshop_reads_why(
    cast: Cast, outcome: Outcome, client_of: Callable[..., Client]
) -> None:
    admin, own, other = (client_of(who) for who in (cast.administrator, cast.technician, cast.member_of_b))
    url = reverse("outcome", args=[outcome.pk])
    assert other.get(url).status_code == 200
    admin.post(reverse("outcome_take_down", args=[outcome.pk]), {"reason": "The picture shows a face."})
    assert other.get(url).status_code == own.get(url).status_code == 404
    assert "The picture shows a face." in own.get(reverse("outcome_stands", args=[outcome.pk])).content.decode()
    assert (
        "The picture shows a face."
        in Notice.objects.get(person=cast.technician.person, event__verb="outcome_taken_down").body
    )


def test_after_it_was_taken_down_the_job_can_be_told_anew(cast: Cast, job: Job, outcome: Outcome) -> None:
    opinions.take_down(outcome=outcome, by=cast.administrator, reason="Names the car.")
    again = sharing.share(job=job, by=cast.technician, symptom=SYMPTOM, cause="Duct", repair_method="revised_part")
    assert list(Outcome.objects.shown()) == [again]


def test_pictures_outlast_the_preview_and_are_shared_as_copies(
    cast: Cast, job: Job, client_of: Callable[..., Client]
) -> None:
    client, url = client_of(cast.technician), reverse("outcome_share", args=[job.pk])
    words = {"symptom": SYMPTOM, "cause": "Duct", "repair_method": "revised_part", "parts": "LN 27 410-0"}
    sent = SimpleUploadedFile("duct.jpg", make_picture().data, "image/jpeg")
    preview = client.post(url, words | {"pictures": sent})
    kept = preview.context["pictures"]
    assert len(kept) == 1 and f'value="{kept[0].pk}" checked' in preview.content.decode()
    assert not SharedPicture.objects.exists()
    client.post(url, words | {"picture": kept[0].pk, "act": "share"})
    outcome = Outcome.objects.get()
    assert outcome.pictures.count() == 1
    assert (
        client_of(cast.member_of_b).get(reverse("shared_picture", args=[outcome.pictures.get().pk])).status_code == 200
    )


def test_pictures_of_the_job_are_offered_and_only_those_ticked_are_shared(
    cast: Cast, job: Job, client_of: Callable[..., Client]
) -> None:
    shown, kept = (pictures.keep(make_picture(), by=cast.technician.person) for _n in range(2))
    job.pictures.set([shown, kept])
    client, url = client_of(cast.technician), reverse("outcome_share", args=[job.pk])
    assert client.get(url).content.decode().count('name="picture"') == 2
    words = {"symptom": SYMPTOM, "cause": "Duct", "repair_method": "revised_part"}
    preview = client.post(url, words | {"picture": shown.pk})
    assert (preview.context["pictures"], preview.context["offered"]) == ([shown], [kept])
    client.post(url, words | {"picture": shown.pk, "act": "share"})
    assert Outcome.objects.get().pictures.count() == 1


def test_a_picture_of_another_workshop_is_never_shared(cast: Cast, job: Job, client_of: Callable[..., Client]) -> None:
    with acting_for(cast.b):
        foreign = pictures.keep(make_picture(), by=cast.member_of_b.person)
    words = {"symptom": SYMPTOM, "cause": "Duct", "repair_method": "revised_part", "act": "share"}
    client_of(cast.technician).post(reverse("outcome_share", args=[job.pk]), words | {"picture": foreign.pk})
    assert Outcome.objects.get().pictures.count() == 0
