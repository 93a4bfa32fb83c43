"""The guard by every way there is: managers, relations, forms, links between rows, other threads, ways out.

`test_access.py` beside this file tells how acting begins and ends. Outside source: OWASP ASVS 5.0.0, chapter V8
(authorization, separation of tenants); the ways to read are those of Django's documentation (QuerySet API, related
objects, ModelChoiceField).
"""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django import forms
from django.apps import apps
from django.conf import settings
from django.db import models, transaction
from django.utils.module_loading import import_string

from diagnostics.forms import InstrumentForm
from diagnostics.kinds import all_kinds
from diagnostics.record_form import RecordForm
from jobs.models import Customer, Job
from network.access import ForeignRow, NobodyActs, PrivateManager, PrivateModel, WayOut, acting_for, way_out
from tests.access_scene import Scene, build, foreign_rows_seen, private_models

pytestmark = pytest.mark.django_db

PRIVATE = private_models()
OUR_APPS = ("network", "diagnostics", "parts", "jobs", "portal")
# Where rows of all workshops are read, each for the reason that stands there; nowhere else.
WAYS_OUT = {
    "diagnostics/verifying.py": ["VERIFY_BY_HASH"],
    "diagnostics/management/commands/verify_sheet.py": ["VERIFY_SHEET"],
    "parts/shelf.py": ["MATCH_SHELVES"],
    "parts/watching.py": ["MATCH_WATCHES"],
}
WAYS: dict[str, Callable[[Any], Any]] = {
    "list": lambda rows: list(rows.all()),
    "exists": lambda rows: rows.exists(),
    "count": lambda rows: rows.count(),
    "get": lambda rows: rows.get(pk=1),
    "values": lambda rows: list(rows.values("pk")),
    "aggregate": lambda rows: rows.aggregate(models.Max("pk")),
    "latest": lambda rows: rows.latest("pk"),
    "contains": lambda rows: rows.contains(rows.model(pk=1)),
    "union": lambda rows: list(rows.all().union(rows.all())),
    "prefetch_related": lambda rows: list(rows.prefetch_related("workshop")),
    "select_related": lambda rows: list(rows.select_related("workshop")),
    "select_for_update": lambda rows: list(rows.select_for_update()),
    "only": lambda rows: list(rows.only("pk")),
    "using": lambda rows: list(rows.using("default")),
    "raw": lambda rows: list(rows.raw("select 1 as id")),
    "explain": lambda rows: rows.explain(),
    "update_or_create": lambda rows: rows.update_or_create(pk=1),
    "bulk_update": lambda rows: rows.bulk_update([rows.model(pk=1)], ["workshop"]),
    "all": lambda rows: list(rows.all()),
    "filter": lambda rows: list(rows.filter(pk=1)),
    "exclude": lambda rows: list(rows.exclude(pk=1)),
    "first": lambda rows: rows.first(),
    "values_list": lambda rows: list(rows.values_list("pk")),
    "in_bulk": lambda rows: rows.in_bulk(),
    "iterator": lambda rows: list(rows.iterator()),
    "earliest": lambda rows: rows.earliest("pk"),
    "update": lambda rows: rows.update(pk=1),
    "delete": lambda rows: rows.all().delete(),
    "create": lambda rows: rows.create(),
    "bulk_create": lambda rows: rows.bulk_create([rows.model()]),
    "get_or_create": lambda rows: rows.get_or_create(pk=1),
    "none": lambda rows: list(rows.none()),
    "raw join": lambda rows: list(rows.order_by("pk").distinct()[:1]),
    "choices": lambda rows: list(forms.ModelChoiceField(queryset=rows.all()).choices),
}


def named(value: Any) -> str:
    """The id of a parameter: a model or a relation by its label."""
    return value._meta.label if isinstance(value, type) else str(value)


def to_private(model: type[models.Model]) -> list[models.ForeignKey[Any, Any]]:
    """The links of a model to private rows."""
    related = [f for f in model._meta.concrete_fields if isinstance(f, models.ForeignKey)]
    return [field for field in related if issubclass(field.remote_field.model, PrivateModel)]


LINKS = [field for model in PRIVATE for field in to_private(model)]


@pytest.fixture(scope="module")
def scene(django_db_setup: None, django_db_blocker: Any) -> Iterator[Scene]:
    """Rows of every private model for A and for B, made once; each test undoes what it did."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield build()
        transaction.set_rollback(True)


def one_of(workshop: Any, model: Any) -> Any:
    """A row of the workshop."""
    with acting_for(workshop):
        row = model.objects.order_by("pk").first()
    assert row is not None, f"the scene has no {model._meta.label}"
    return row


def test_every_private_model_is_among_the_installed_ones() -> None:
    assert set(PRIVATE) == {model for model in apps.get_models() if issubclass(model, PrivateModel)}


@pytest.mark.parametrize("model", PRIVATE, ids=named)
def test_a_private_model_has_no_manager_without_a_guard(model: Any) -> None:
    for manager in (*model._meta.managers, model._default_manager, model._base_manager):
        assert isinstance(manager, PrivateManager)
        assert "get_queryset" not in vars(type(manager)) or type(manager) is PrivateManager


@pytest.mark.parametrize("model", PRIVATE, ids=named)
def test_nothing_is_read_or_written_while_nobody_acts(model: Any) -> None:
    for way, use in WAYS.items():
        with pytest.raises(NobodyActs):
            use(model.objects)
            pytest.fail(f"{way} was let through")


@pytest.mark.parametrize("model", PRIVATE, ids=named)
def test_a_held_row_is_neither_read_again_nor_saved_while_nobody_acts(model: Any, scene: Scene) -> None:
    row = one_of(scene.cast.a, model)
    for act in (row.refresh_from_db, row.save):
        with pytest.raises(NobodyActs):
            act()


@pytest.mark.parametrize("link", LINKS, ids=str)
def test_a_link_is_followed_in_neither_direction_while_nobody_acts(link: Any, scene: Scene) -> None:
    target = one_of(scene.cast.a, link.remote_field.model)
    with pytest.raises(NobodyActs):
        getattr(link.model(**{link.attname: target.pk}), link.name)
    if not link.remote_field.hidden:
        with pytest.raises(NobodyActs):
            getattr(target, link.remote_field.get_accessor_name()).exists()


def test_no_shared_model_leads_back_to_private_rows() -> None:
    """A join from a shared row would pass the guard: "sheets__isnull" on a family tells of other workshops."""
    shared = [model for model in apps.get_models() if not issubclass(model, PrivateModel)]
    ways = [rel for model in shared for rel in model._meta.related_objects if not rel.hidden]
    assert [str(rel) for rel in ways if issubclass(rel.related_model, PrivateModel)] == []


@pytest.mark.parametrize("model", PRIVATE, ids=named)
def test_a_sees_nothing_of_b(model: Any, scene: Scene) -> None:
    assert one_of(scene.cast.b, model).workshop_id == scene.cast.b.pk
    assert foreign_rows_seen(model, scene) == 0


@pytest.mark.parametrize("model", PRIVATE, ids=named)
def test_a_neither_saves_nor_adds_nor_changes_rows_of_b(model: Any, scene: Scene) -> None:
    theirs = one_of(scene.cast.b, model)
    with acting_for(scene.cast.a):
        for write in (theirs.save, lambda: model.objects.bulk_create([theirs])):
            with pytest.raises(ForeignRow):
                write()
        with pytest.raises(ForeignRow):
            model.objects.filter(pk=theirs.pk).update(workshop=scene.cast.a)
        assert model.objects.filter(pk=theirs.pk).update(id=theirs.pk) == 0
        assert model.objects.filter(pk=theirs.pk).delete()[0] == 0


@pytest.mark.parametrize("link", LINKS, ids=str)
def test_a_row_of_a_never_points_at_one_of_b(link: Any, scene: Scene) -> None:
    ours, theirs = one_of(scene.cast.a, link.model), one_of(scene.cast.b, link.remote_field.model)
    setattr(ours, link.name, theirs)
    with acting_for(scene.cast.a):
        for write in (ours.save, lambda: link.model.objects.bulk_create([ours])):
            with pytest.raises(ForeignRow):
                write()
        by_key = link.model.objects.get(pk=ours.pk)
        setattr(by_key, link.attname, theirs.pk)
        with pytest.raises(link.remote_field.model.DoesNotExist):
            by_key.save()


def test_what_is_made_belongs_to_whoever_acts(scene: Scene) -> None:
    with acting_for(scene.cast.a):
        made = [
            Customer.objects.create(name="one"),
            Customer.objects.get_or_create(name="two")[0],
            Customer.objects.update_or_create(name="three")[0],
            *Customer.objects.bulk_create([Customer(name="four")]),
        ]
    assert {customer.workshop_id for customer in made} == {scene.cast.a.pk}


def test_a_query_stays_with_whom_it_was_made_for(scene: Scene) -> None:
    with acting_for(scene.cast.a):
        rows = Job.objects.all()
    with acting_for(scene.cast.b):
        assert {job.workshop_id for job in rows} == {scene.cast.a.pk}


def test_another_thread_acts_for_nobody(scene: Scene) -> None:
    caught: list[Exception] = []

    def read() -> None:
        try:
            Job.objects.all()
        except NobodyActs as error:
            caught.append(error)

    with acting_for(scene.cast.a):
        other = threading.Thread(target=read)
        other.start()
        other.join()
    assert len(caught) == 1


def forms_of_ours(of: type = forms.BaseForm) -> Iterator[type]:
    for form in of.__subclasses__():
        yield from forms_of_ours(form)
        if form.__module__.partition(".")[0] in OUR_APPS:
            yield form


def test_no_form_keeps_private_choices_from_one_request_to_the_next() -> None:
    for app in ("network", "diagnostics", "parts", "jobs"):
        import_string(f"{app}.forms.forms")
    fields = [field for form in forms_of_ours() for field in form.base_fields.values()]  # type: ignore[attr-defined]
    kept = [field.queryset.model for field in fields if hasattr(field, "queryset") and field.queryset is not None]
    assert len(fields) > 50
    assert [model for model in kept if issubclass(model, PrivateModel)] == []


def test_a_form_offers_the_instruments_and_colleagues_of_its_own_workshop_only(scene: Scene) -> None:
    kind = all_kinds()["machine_windings"]
    for house in (scene.a, scene.b, scene.a):
        with acting_for(house.member.workshop):
            form = RecordForm(kind=kind, sheet=house.job.sheet, membership=house.member)
            offered = list(form.fields["instrument_range"].queryset)
            colleagues = form.fields["stood_by"].queryset
            assert offered == [house.instrument]
            assert not colleagues.exclude(memberships__workshop=house.member.workshop).exists()


def test_a_form_of_private_rows_is_not_made_while_nobody_acts(scene: Scene) -> None:
    with pytest.raises(NobodyActs):
        RecordForm(kind=all_kinds()["machine_windings"], sheet=scene.a.job.sheet, membership=scene.a.member)
    with pytest.raises(NobodyActs):
        InstrumentForm({"name": "Tarn", "serial": "1"}).is_valid()


def test_a_name_is_free_in_a_although_b_uses_it(scene: Scene) -> None:
    """A refusal would tell A what B has."""
    with acting_for(scene.cast.a):
        assert InstrumentForm({"name": scene.b.instrument.instrument.name, "serial": "1"}).is_valid()


def test_ways_out_are_used_where_they_are_listed_and_nowhere_else() -> None:
    found = {}
    for path in (file for app in OUR_APPS for file in (settings.ROOT / app).rglob("*.py")):
        used = re.findall(r"\bway_out\(([^)]*)\)", path.read_text(encoding="utf-8"))
        if used and path.name != "access.py":
            found[path.relative_to(settings.ROOT).as_posix()] = [reason.removeprefix("WayOut.") for reason in used]
    assert found == WAYS_OUT
    assert sorted(name for names in WAYS_OUT.values() for name in names) == sorted(way.name for way in WayOut)


def test_the_guard_is_passed_neither_by_raw_queries_nor_by_its_own_switches() -> None:
    passes = re.compile(r"\.raw\(|RawSQL|\.extra\(|_raw_delete|QuerySet\(model=|_everybody|_acting\b")
    sources = [file for app in OUR_APPS for file in (settings.ROOT / app).rglob("*.py")]
    found = {f.relative_to(settings.ROOT).as_posix() for f in sources if passes.search(f.read_text(encoding="utf-8"))}
    assert found == {"network/access.py"}


def test_a_made_up_reason_opens_no_way_out() -> None:
    with pytest.raises((TypeError, NobodyActs)), way_out("curiosity"):  # type: ignore[arg-type]
        Job.objects.exists()


def test_a_way_out_saves_nothing(scene: Scene) -> None:
    with way_out(WayOut.VERIFY_BY_HASH), pytest.raises(NobodyActs):
        one_of(scene.cast.a, Customer).save()


def test_writing_in_bulk_moves_no_row_and_links_no_foreign_one(scene: Scene) -> None:
    with acting_for(scene.cast.b):
        theirs = Customer.objects.first()
    with acting_for(scene.cast.a):
        vehicles = Job.objects.first().vehicle.__class__.objects
        for change in ({"workshop": scene.cast.b}, {"workshop_id": scene.cast.b.pk}, {"customer": theirs}):
            with pytest.raises(ForeignRow):
                vehicles.update(**change)


def test_a_held_foreign_row_is_not_deleted(scene: Scene) -> None:
    with acting_for(scene.cast.b):
        theirs = Customer.objects.first()
    with acting_for(scene.cast.a), pytest.raises(ForeignRow):
        theirs.delete()


@pytest.mark.parametrize("write", [lambda rows: rows.update(name="x"), lambda rows: rows.delete()])
def test_a_way_out_changes_nothing(scene: Scene, write: Callable[[Any], Any]) -> None:
    with acting_for(scene.cast.a), way_out(WayOut.VERIFY_BY_HASH), pytest.raises(ForeignRow):
        write(Customer.objects.all())
