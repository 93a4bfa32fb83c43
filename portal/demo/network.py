"""The demo's workshops, people and papers, brought in by applying and deciding as everybody is.

Everything but the postcodes is invented. German phone numbers are from the range that the Bundesnetzagentur reserves
for drama (030 23125 000 to 999); it serves for the other countries too, where no such range is published.
"""

from __future__ import annotations

import datetime
import json
import re
import unicodedata
from dataclasses import dataclass
from typing import Any

from allauth.account.models import EmailAddress
from django.conf import settings
from django.contrib.auth.hashers import make_password
from stdnum.exceptions import ValidationError

from network import membership, places
from network.forms import PersonForm, business_number
from network.models import Application, Membership, Qualification, Region, User, Workshop

DATA = settings.ROOT / "fixtures" / "demo" / "network.json"


@dataclass(frozen=True, kw_only=True)
class Cast:
    """Who plays in the rest of the demo."""

    administrator: User
    workshops: dict[str, Workshop]

    @property
    def hautpre(self) -> Workshop:
        return self.workshops["Ateliers Hautpré"]

    @property
    def rureifel(self) -> Workshop:
        return self.workshops["Hybridwerk Rureifel"]

    def member(self, workshop: Workshop | str, email: str = "") -> Membership:
        """Somebody of the workshop who can act; the one with this address, or the first."""
        home = self.workshops[workshop] if isinstance(workshop, str) else workshop
        able = Membership.objects.able_to_act().filter(workshop=home).select_related("person", "workshop")
        return able.get(person__email=email) if email else able.order_by("pk")[0]


def load_network(*, today: datetime.date, password: str) -> Cast:
    """Regions, the administrator and every workshop in its state."""
    data = json.loads(DATA.read_text(encoding="utf-8"))
    secret = make_password(password)  # hashed once: forty people share the demo's password
    administrator = User.objects.create_user(
        email="admin@circle.example", name="Hedda Ringelstein", is_administrator=True
    )
    regions = {code: Region.objects.create(code=code, name=name) for code, name in data["regions"]}
    workshops = {
        facts["name"]: _workshop(number, facts, regions, administrator, today)
        for number, facts in enumerate(data["workshops"], start=1)
    }
    User.objects.update(password=secret)
    EmailAddress.objects.bulk_create(
        EmailAddress(user=person, email=person.email, verified=True, primary=True) for person in User.objects.all()
    )
    return Cast(administrator=administrator, workshops=workshops)


def _workshop(
    number: int, facts: dict[str, Any], regions: dict[str, Region], administrator: User, today: datetime.date
) -> Workshop:
    place = places.place_of_postcode(facts["country"], facts["postcode"])
    if place is None:
        raise LookupError(f"The demo needs the place {facts['country']} {facts['postcode']}: run load_places first.")
    domain = f"{slug(facts['name'])}.example"
    applicant_facts = next(one for one in facts["people"] if one["role"] == "manager")
    applicant = User.objects.create_user(email=f"{applicant_facts['mail']}@{domain}", name=applicant_facts["name"])
    application = membership.apply(
        workshop=Workshop(
            name=facts["name"],
            street=f"{_street(facts['country'])} {number}",
            postcode=place.postcode,
            town=facts.get("town", place.name),
            country=facts["country"],
            latitude=place.latitude,
            longitude=place.longitude,
            region=regions[facts["region"]],
            email=f"office@{domain}",
            phone=f"+49 30 23125 {number:03d}",
            business_number=made_up_number(facts["country"], number),
            languages=facts["languages"],
            first_look=facts["first_look"],
        ),
        people=[_person_form(one, domain, today) for one in facts["people"]],
        by=applicant,
    )
    _decide(application, facts, administrator, today)
    workshop = application.workshop
    workshop.refresh_from_db()
    return workshop


def _decide(application: Application, facts: dict[str, Any], administrator: User, today: datetime.date) -> None:
    """Approve with the papers that were verified, decline, or leave waiting; named people agree; days run out."""
    workshop = application.workshop
    if facts["state"] == "waiting":
        return
    if facts["state"] == "declined":
        application.decline(by=administrator, reason="The certificates named could not be confirmed by their issuer.")
        return
    papers = {paper.holder.name: paper for _m, held in application.people for paper in held}
    seen = {papers[one["name"]].pk: one["proof"] for one in facts["people"] if one["proof"]}
    application.approve(by=administrator, reason="Papers looked at; welcome.", seen=seen)
    for named in workshop.memberships.filter(state=Membership.State.NAMED).select_related("person", "workshop"):
        named.agree(by=named.person)
    for one in facts["people"]:
        # Papers were seen months ago, and some have run out since: only time does that, no verb.
        days = datetime.timedelta(days=one["days"])
        verified = today - datetime.timedelta(days=250)
        held = Qualification.objects.filter(pk=papers[one["name"]].pk)
        held.update(expires_on=today + days)
        held.filter(verified_on__isnull=False).update(verified_on=verified)
    workshop.refresh_work()
    if facts["state"] == "suspended":
        workshop.suspend(by=administrator, reason="Insurance ran out; waits for the new policy.")


def _person_form(facts: dict[str, Any], domain: str, today: datetime.date) -> PersonForm:
    form = PersonForm(
        {
            "name": facts["name"],
            "email": f"{facts['mail']}@{domain}",
            "role": facts["role"],
            "title": facts["title"],
            "issuer": "Kring Institute of Vehicle Trades",
            "certificate": f"KI-{abs(hash_of(facts['name'])) % 100_000:05d}",
            "covers": facts["covers"],
            "live_work": facts["live"],
            "expires_on": today + datetime.timedelta(days=max(facts["days"], 1)),
        }
    )
    if not form.is_valid():
        raise ValueError(f"The demo's person {facts['name']} is wrong: {form.errors}")
    return form


def hash_of(text: str) -> int:
    """A number that is the same at every start, unlike Python's own hash."""
    return sum((place + 1) * ord(sign) for place, sign in enumerate(text)) * 7919


def slug(name: str) -> str:
    """The mail domain's first part: the last word of the name that says most, in plain letters."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z]+", plain)
    short = {"ateliers hautpre": "hautpre", "hybridwerk rureifel": "rureifel"}
    return short.get(" ".join(words), "-".join(words))


def made_up_number(country: str, number: int) -> str:
    """The first number from a made-up stem whose check digits fit; nobody's, but of the right form."""
    shapes = {"BE": "0999{:06d}", "NL": "00099{:04d}B01", "LU": "99{:06d}", "DE": "9990{:05d}"}
    for tried in range(number * 100, number * 100 + 2000):
        try:
            return business_number(country, shapes[country].format(tried % 10_000 if country == "NL" else tried))
        except ValidationError:
            continue
    raise ValueError(f"No made-up business number fits for {country}.")


def _street(country: str) -> str:
    return {"BE": "Rue du Banc", "NL": "Werkbanklaan", "LU": "Rue de l'Établi", "DE": "Werkbankstraße"}[country]
