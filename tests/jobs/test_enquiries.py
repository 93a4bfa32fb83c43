"""An enquiry by its owner's link: dates, passing on with consent, photos; its mails carry no word of whoever typed it.

Outside source for passing on: Regulation (EU) 2016/679, Article 5(1)(b) and (c): data go where their person agreed
that they go, and no more is kept than the purpose needs. Pictures: OWASP ASVS 5.0.0, chapter V5.
"""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import estimating, passing_on, working
from jobs.models import Customer, Enquiry, Estimate, Job, Vehicle
from jobs.owner_link import path_for, path_for_job
from jobs.owner_words import standing
from network.access import acting_for
from network.models import Event, Membership, Notice, Picture
from tests import cast as made
from tests.cast import Cast
from tests.network.test_pictures import png_claiming, written

TYPED = {"vehicle": "Canaryvehicle", "symptom": "Canarysymptom", "lamps": "Canarylamps", "name": "Canaryname"}
FIELDS = {
    "work_wanted": "inverter", "vehicle": "Lanner", "symptom": "stops", "can_drive": "yes", "name": "Ann Owner",
    "email": "ann@owner.example", "consent": "on",
}  # fmt: skip
LINE = {
    "kind": "labour", "words": "Find it", "part_number": "", "quantity": Decimal(1), "price": 9500,
    "tax_percent": Decimal(21),
}  # fmt: skip


@pytest.fixture
def enquiry(cast: Cast) -> Enquiry:
    """At A, with a photo; B is qualified for the work, and B only."""
    made.make_qualification(cast.member_of_b.person, ["inverter"])
    sent = made.make_enquiry(cast.a, **TYPED)
    with acting_for(cast.a):
        from network.pictures import keep

        sent.pictures.add(keep(made.make_picture(), by=None))
    return sent


def reread(enquiry: Enquiry) -> Enquiry:
    with acting_for(enquiry.workshop):
        return Enquiry.objects.select_related("workshop", "better").get(pk=enquiry.pk)


def propose(enquiry: Enquiry, cast: Cast) -> Enquiry:
    with acting_for(cast.a):
        passing_on.propose(enquiry=enquiry, to=cast.b, by=cast.technician)
    return reread(enquiry)


def test_only_members_qualified_today_are_named_and_never_the_own_workshop(enquiry: Enquiry, cast: Cast) -> None:
    assert [found.workshop for found in passing_on.better_qualified(enquiry)] == [cast.b]
    cast.member_of_b.person.qualifications.update(expires_on=timezone.localdate() - datetime.timedelta(days=1))
    assert passing_on.better_qualified(enquiry) == []


def test_nothing_moves_before_the_owner_agrees(enquiry: Enquiry, cast: Cast, client: Client) -> None:
    propose(enquiry, cast)
    with acting_for(cast.b):
        assert not Enquiry.objects.exists()
    client.post(path_for(enquiry), {"act": "stay"})
    assert reread(enquiry).better is None and reread(enquiry).symptom == "Canarysymptom"


def test_the_copy_moves_and_the_first_workshop_keeps_only_that_it_was_passed_on(
    enquiry: Enquiry, cast: Cast, client: Client
) -> None:
    propose(enquiry, cast)
    with acting_for(cast.a):
        file = enquiry.pictures.get().file
    answer = client.post(path_for(enquiry), {"act": "agree", "to": cast.b.pk})
    old = reread(enquiry)
    kept = [str(getattr(old, field.attname)) for field in old._meta.concrete_fields]
    assert old.state == "passed_on" and "Canary" not in " ".join(kept) and old.email == ""
    with acting_for(cast.a):
        assert not Picture.objects.filter(added_by=None).exists()
    with acting_for(cast.b):
        moved = Enquiry.objects.get()
        assert {name: getattr(moved, name) for name in TYPED} == TYPED
        assert moved.pictures.get().file.size == len(made.make_picture().data)
    assert answer["Location"] == path_for(moved) and file.name
    assert "sent on to Hybridwerk Rureifel" in client.get(path_for(enquiry)).content.decode()


def test_the_file_of_a_photo_that_moved_is_deleted(
    enquiry: Enquiry, cast: Cast, django_capture_on_commit_callbacks: object
) -> None:
    propose(enquiry, cast)
    with acting_for(cast.a):
        file = enquiry.pictures.get().file
        with django_capture_on_commit_callbacks(execute=True):  # type: ignore[operator]
            passing_on.agree(enquiry=reread(enquiry), to=cast.b)
    assert not file.storage.exists(file.name)


def test_an_owner_cant_send_it_where_nobody_proposed(enquiry: Enquiry, cast: Cast, client: Client) -> None:
    client.post(path_for(enquiry), {"act": "agree", "to": cast.b.pk})
    assert reread(enquiry).state == "sent"


def test_what_became_a_job_meanwhile_stays(enquiry: Enquiry, cast: Cast, client: Client) -> None:
    propose(enquiry, cast)
    with acting_for(cast.a):
        working.book_in(
            by=cast.technician, customer=Customer(name="A"), vehicle=Vehicle(description="L"), complaint="stops",
            enquiry=reread(enquiry),
        )  # fmt: skip
    client.post(path_for(enquiry), {"act": "agree", "to": cast.b.pk})
    assert reread(enquiry).state == "job_made"
    with acting_for(cast.b):
        assert not Enquiry.objects.exists()


def test_no_mail_to_the_owners_address_carries_a_word_that_somebody_typed(
    enquiry: Enquiry, cast: Cast, client: Client
) -> None:
    tomorrow = timezone.now() + datetime.timedelta(days=1)
    with acting_for(cast.a):
        enquiry.reply(by=cast.technician, answer="Canaryanswer", dates=[tomorrow])
    client.post(path_for(enquiry), {"act": "choose", "moment": tomorrow.isoformat()})
    propose(enquiry, cast)
    client.post(path_for(enquiry), {"act": "agree", "to": cast.b.pk})
    with acting_for(cast.b):
        moved = Enquiry.objects.select_related("workshop").get()
        working.book_in(
            by=cast.member_of_b, customer=Customer(name="Canarycustomer"), vehicle=Vehicle(description="Canarycar"),
            complaint="Canarycomplaint", enquiry=moved,
        )  # fmt: skip
    told = Notice.objects.filter(event__verb__startswith="enquiry_")
    assert {"enquiry_confirmed", "enquiry_answered", "enquiry_passing_proposed", "enquiry_taken_on"} <= set(
        told.filter(email=enquiry.email).values_list("event__verb", flat=True)
    )
    assert not [n for n in told if "canary" in (n.subject + n.body).lower()]


def test_only_a_date_that_is_offered_can_be_chosen(enquiry: Enquiry, cast: Cast, client: Client) -> None:
    tomorrow = timezone.now() + datetime.timedelta(days=1)
    with acting_for(cast.a):
        enquiry.reply(by=cast.technician, answer="Come.", dates=[tomorrow])
    for other in ("nonsense", (tomorrow + datetime.timedelta(hours=1)).isoformat()):
        client.post(path_for(enquiry), {"act": "choose", "moment": other})
        assert reread(enquiry).date_chosen is None
    client.post(path_for(enquiry), {"act": "choose", "moment": tomorrow.isoformat()})
    assert reread(enquiry).date_chosen == tomorrow
    assert "expects you on" in client.get(path_for(enquiry)).content.decode()
    assert Event.objects.filter(verb="enquiry_date_chosen").count() == 1


def test_photos_are_kept_and_shown_by_the_same_link_only(cast: Cast, client: Client) -> None:
    photo = SimpleUploadedFile("lamp.jpg", written())
    answer = client.post(reverse("enquire", args=[cast.a.pk]), FIELDS | {"pictures": [photo, written_again()]})
    page = client.get(answer["Location"]).content.decode()
    with acting_for(cast.a):
        sent = Enquiry.objects.get()
        first = sent.pictures.all()[0]
    assert page.count("<img") == 2
    token = answer["Location"].strip("/").split("/")[-1]
    assert client.get(reverse("enquiry_picture", args=[token, first.pk]))["Content-Type"] == "image/jpeg"
    other = made.make_enquiry(cast.a)
    token = path_for(other).strip("/").split("/")[-1]
    assert client.get(reverse("enquiry_picture", args=[token, first.pk])).status_code == 404


def written_again() -> SimpleUploadedFile:
    return SimpleUploadedFile("car.png", written(format="PNG"))


@pytest.mark.parametrize("data", [png_claiming(12_000, 12_000), b"%PDF-1.7"], ids=["a bomb", "no picture"])
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_a_bomb_or_a_wrong_file_is_refused_with_a_sentence_and_nothing_typed_is_lost(
    data: bytes, cast: Cast, client: Client
) -> None:
    page = client.post(
        reverse("enquire", args=[cast.a.pk]), FIELDS | {"pictures": SimpleUploadedFile("lamp.png", data)}
    )
    text = page.content.decode()
    assert page.status_code == 422 and "lamp.png" in text and 'value="Ann Owner"' in text
    assert not Notice.objects.filter(event__verb="enquiry_sent").exists()


@pytest.mark.parametrize(
    ("signed", "sentence"),
    [
        ([], "has no name yet"),
        (["cause"], "The cause is found"),
        (["cause", "fitted"], "is being tried out"),
        (["cause", "fitted", "proved"], "when to fetch it"),
    ],
)
def test_the_owner_reads_how_the_job_stands_in_plain_words(
    signed: list[str], sentence: str, enquiry: Enquiry, cast: Cast
) -> None:
    from jobs.models import SignedEntry

    job: Job = made.make_job(cast.technician, enquiry=enquiry)
    with acting_for(cast.a):
        for step in signed:
            SignedEntry(job=job, step=step, words="done", signed_by=cast.technician.person).save()
        assert sentence in standing(reread(enquiry), job)


def test_people_of_the_workshop_are_told_and_of_no_other(enquiry: Enquiry, cast: Cast) -> None:
    told = Notice.objects.filter(event__verb="enquiry_sent").values_list("person_id", flat=True)
    assert set(told) <= set(Membership.objects.filter(workshop=cast.a).values_list("person_id", flat=True))


def test_an_estimate_that_waits_is_said_first_by_the_enquirys_link(
    enquiry: Enquiry, cast: Cast, client: Client
) -> None:
    job = made.make_job(cast.technician, enquiry=enquiry)
    with acting_for(cast.a):
        draft = estimating.begin(job=job, by=cast.technician)
        estimating.keep(
            estimate=draft, lines=[LINE], words="", holds_until=draft.holds_until, seen=0, by=cast.technician
        )
        estimating.send(estimate=reread_estimate(draft), seen=1, by=cast.technician)
    page = client.get(path_for(enquiry)).content.decode()
    assert "waits for your answer." in page and path_for_job(job, "car_estimate", number=1) in page


def reread_estimate(estimate: Estimate) -> Estimate:
    return Estimate.objects.select_related("job__vehicle__customer").get(pk=estimate.pk)


@pytest.mark.parametrize(
    ("phone", "taken"), [("+32 4 555 01 02", True), ("04/555.01.02", True), ("", True), ("abc", False), ("12", False)]
)
def test_a_phone_number_that_nobody_can_dial_is_refused(cast: Cast, client: Client, phone: str, taken: bool) -> None:
    # ITU-T E.164 leaves the shortest number open; five digits are common practice, no source.
    sent = client.post(reverse("enquire", args=[cast.a.pk]), FIELDS | {"phone": phone})
    assert sent.status_code == (302 if taken else 422)
    assert taken or "as it is dialled from abroad" in sent.content.decode()


def test_withdrawing_asks_once_more(enquiry: Enquiry, client: Client) -> None:
    page = client.get(path_for(enquiry)).content.decode()
    assert page.index("can’t be undone") < page.index('name="act" value="withdraw"')
    client.post(path_for(enquiry), {"act": "withdraw"})
    assert reread(enquiry).state == Enquiry.State.WITHDRAWN
