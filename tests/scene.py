"""The scene of the story: places, regions, an administrator, two workshops of other regions, and one that applies."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from allauth.mfa.models import Authenticator
from django.utils import timezone

from diagnostics.kinds import all_kinds
from diagnostics.models import FamilyLimit, SystemFamily
from network import membership
from network.forms import PersonForm
from network.models import Application, Membership, Place, Region, User, Workshop

PASSWORD = "ring closes at nine segments"
PLACES = [
    ("BE", "4040", "Herstal", 50.6649, 5.6300),
    ("BE", "4020", "Liège", 50.6330, 5.5900),
    ("DE", "52349", "Düren", 50.8033, 6.4800),
    ("LU", "5335", "Moutfort", 49.5872, 6.2550),
]
NUMBERS = {"BE": "0999000129", "DE": "136695976", "LU": "15027442"}  # check digits fit; nobody's


@dataclass(frozen=True, kw_only=True)
class Scene:
    administrator: User
    application: Application
    ilse: User
    bram: User
    rureifel: User
    moutfort: User
    family: SystemFamily


def build() -> Scene:
    """Everything that stands before the story begins."""
    for country, code, name, latitude, longitude in PLACES:
        Place.objects.create(
            country=country, postcode=code, normalised=code, name=name, latitude=latitude, longitude=longitude,
            precision="code",
        )  # fmt: skip
    meuse, rur, mosel = (Region.objects.create(code=c, name=n) for c, n in REGIONS)
    administrator = _person("admin@circle.example", "Hedda Ringelstein", is_administrator=True)
    application = _apply("Ateliers Hautpré", "BE", "4040", meuse, "Corinne Hautpré", ["Ilse Vandamme", "Bram Osselaer"])
    others = [
        _approved(_apply(*facts), administrator)
        for facts in (
            ("Hybridwerk Rureifel", "DE", "52349", rur, "Anke Brockhausen", []),
            ("Atelier Moutfort", "LU", "5335", mosel, "Claude Moutfort", []),
        )
    ]
    people = {user.name: user for user in User.objects.all()}
    return Scene(
        administrator=administrator,
        application=application,
        ilse=people["Ilse Vandamme"],
        bram=people["Bram Osselaer"],
        rureifel=people["Anke Brockhausen"],
        moutfort=people["Claude Moutfort"],
        family=_family(*others),
    )


REGIONS = (("meuse", "Upper Meuse"), ("rur", "Rur"), ("mosel", "Moselle"))


def _person(email: str, name: str, **more: bool) -> User:
    """Somebody with a second factor, so that no page leads to setting one up first."""
    user = User.objects.filter(email=email).first() or User.objects.create_user(
        email=email, name=name, password=PASSWORD, **more
    )
    Authenticator.objects.create(user=user, type="totp", data={"secret": "unused"})
    return user


def _apply(name: str, country: str, postcode: str, region: Region, manager: str, others: list[str]) -> Application:
    domain = name.split()[-1].lower().replace("é", "e") + ".example"
    place = Place.objects.get(country=country, postcode=postcode)
    applicant = _person(f"manager@{domain}", manager)
    forms = [_paper(manager, f"manager@{domain}", "manager")]
    forms += [_paper(one, f"{one.split()[0].lower()}@{domain}", "technician") for one in others]
    workshop = Workshop(
        name=name, street="Rue du Banc 1", postcode=postcode, town=place.name, country=country,
        latitude=place.latitude, longitude=place.longitude, region=region, email=f"office@{domain}",
        phone="+49 30 23125 001", business_number=NUMBERS[country],
    )  # fmt: skip
    return membership.apply(workshop=workshop, people=forms, by=applicant)


def _paper(name: str, email: str, role: str) -> PersonForm:
    form = PersonForm(
        {
            "name": name, "email": email, "role": role, "title": "High-voltage vehicles, level 3",
            "issuer": "Kring Institute", "certificate": "KI-1", "covers": ["inverter", "traction_battery"],
            "live_work": True, "expires_on": timezone.localdate() + datetime.timedelta(days=400),
        }
    )  # fmt: skip
    assert form.is_valid(), form.errors
    return form


def _approved(application: Application, administrator: User) -> Workshop:
    papers = [paper for _m, held in application.people for paper in held]
    application.approve(by=administrator, reason="welcome", seen={paper.pk: "paper_seen" for paper in papers})
    return application.workshop


# kind, quantity: the limit, and its upper end where it is a range
LIMITS: dict[str, dict[str, tuple[float, float | None]]] = {
    "machine_windings": {"winding_unbalance": (2.0, None), "winding_resistance": (0.06, 0.13)},
    "winding_inductance": {"inductance_difference": (3, None)},
    "position_sensor": {
        "exciter_resistance": (8, 20), "sine_resistance": (10, 50), "cosine_resistance": (10, 50),
        "sine_cosine_difference": (10, None), "coil_to_body": (10, None),
    },
    "contactors": {
        "contactor_coil": (20, 60), "contactor_closed": (0.05, None), "precharge_resistance": (30, 50),
        "precharge_rise_time": (0.5, None),
    },
    "interlock_bonding": {"interlock_loop_resistance": (5, None)},
    "load_run": {"load_run_rise": (45, None)},
}  # fmt: skip


def _family(entered_by: Workshop, confirmed_by: Workshop) -> SystemFamily:
    """One machine; the maker's limits, entered by one workshop and confirmed by a second."""
    family = SystemFamily.objects.create(
        maker="Lanner", name="Vireo", drive="hybrid", nominal_v=201.6, highest_working_v=650,
        chemistry="nickel_metal_hydride", blocks=14, rated_ah=6.5, machine_type="permanent_magnet", connection="wye",
        entered_by=entered_by,
    )  # fmt: skip
    for kind, figures in LIMITS.items():
        for quantity, (value, upper) in figures.items():
            shape, unit = all_kinds()[kind].limitable[quantity]
            limit = FamilyLimit.objects.create(
                family=family, kind=kind, quantity=quantity, shape=shape, value=value, upper=upper,
                unit=unit, source="Lanner service data 14-208", authority="maker", entered_by=entered_by,
            )  # fmt: skip
            limit.confirm(by=Membership.objects.get(workshop=confirmed_by))
    return family
