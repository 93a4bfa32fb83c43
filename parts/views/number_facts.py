"""Pages on which members add to a number: a revision, what the trade says, what replaces what."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from network.access import MemberRequest, member_required
from network.models import Membership
from parts import entering, superseding
from parts.models import PartNumber, Supersession
from parts.number_forms import DisputeForm, RevisionForm, SupersessionForm, SupplyForm
from parts.views.numbers import number_or_404


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def revision_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Add a revision under the number: its marks, photos, why it was made, whether it fails."""
    shown = number_or_404(pk)
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = RevisionForm(*posted)
    if request.method == "POST" and form.is_valid():
        made = form.save(commit=False)
        made.part_number = shown
        try:
            entering.enter_revision(revision=made, photos=form.cleaned_data["photos"], by=request.membership)
        except entering.NamedAlready:
            form.add_error("name", _("This number has a revision of this name. Look at it, or give another name."))
        else:
            return redirect("number", pk=pk)
    context = {"form": form, "number": shown}
    return render(request, "parts/revision_new.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def supply_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Write down what a region's trade says of the number, seen where and when."""
    shown = number_or_404(pk)
    first = {"seen_on": timezone.localdate(), "region": request.membership.workshop.region_id}
    form = SupplyForm(request.POST if request.method == "POST" else None, initial=first)
    if request.method == "POST" and form.is_valid():
        report = form.save(commit=False)
        report.part_number = shown
        entering.report_supply(report=report, by=request.membership)
        return redirect("number", pk=pk)
    context = {"form": form, "number": shown}
    return render(request, "parts/supply_new.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def supersession_new(request: MemberRequest, pk: int) -> HttpResponse:
    """State that this number replaces another, is replaced, or may be used instead; a circle is refused."""
    shown = number_or_404(pk)
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = SupersessionForm(*posted)
    if request.method == "POST" and form.is_valid():
        try:
            _state(form, shown, request.membership)
        except superseding.ClosesACircle as circle:
            way = " › ".join(str(one) for one in circle.way)
            text = _("This would close a circle, since it is stated: %(way)s. Dispute the step that is wrong.")
            form.add_error("other", text % {"way": way})
        except superseding.StatedAlready as already:
            text = _("%(who)s stated this for the same region. Confirm or dispute it on the number’s page.")
            form.add_error("other", text % {"who": already.standing.entered_by_workshop})
        else:
            return redirect("number", pk=pk)
    context = {"form": form, "number": shown}
    return render(request, "parts/supersession_new.html", context, status=422 if form.errors else 200)


@transaction.atomic
def _state(form: SupersessionForm, shown: PartNumber, by: Membership) -> None:
    """The other number (entered where it is new), the photo and the statement: all of them or nothing."""
    other = entering.counterpart(form.cleaned_data["other"], like=shown, by=by)
    statement = form.statement(this=shown, other=other)
    caption = _("Evidence: %(old)s, %(new)s") % {"old": statement.old, "new": statement.new}
    for picture in entering.share_all(form.cleaned_data["photos"], caption=caption, by=by):
        statement.picture = picture
    superseding.state(statement=statement, by=by)


def _statement_or_404(pk: int) -> Supersession:
    return get_object_or_404(Supersession.objects.standing().select_related("old", "new", "entered_by_workshop"), pk=pk)


@member_required
@require_POST
def supersession_confirm(request: MemberRequest, pk: int) -> HttpResponse:
    """A second workshop saw the same."""
    said = _statement_or_404(pk)
    if not superseding.confirm(statement=said, by=request.membership):
        messages.warning(request, _("It is confirmed already, or your own workshop stated or disputed it."))
    return redirect("number", pk=said.old_id)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def supersession_dispute(request: MemberRequest, pk: int) -> HttpResponse:
    """Another workshop saw it otherwise, and says how."""
    said = _statement_or_404(pk)
    form = DisputeForm(request.POST if request.method == "POST" else None)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        if superseding.dispute(statement=said, by=request.membership, reason=form.cleaned_data["reason"]):
            return redirect("number", pk=said.old_id)
        status = 409
        form.add_error(None, _("It is disputed already, or your own workshop stated it: then take it back."))
    return render(request, "parts/supersession_dispute.html", {"form": form, "said": said}, status=status)


@member_required
@require_POST
def supersession_lift(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that disputed it no longer does."""
    said = _statement_or_404(pk)
    if not superseding.lift(statement=said, by=request.membership):
        messages.warning(request, _("Only the workshop that disputed it can lift its dispute."))
    return redirect("number", pk=said.old_id)


@member_required
@require_POST
def supersession_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that stated it no longer does."""
    said = _statement_or_404(pk)
    if not superseding.take_back(statement=said, by=request.membership):
        messages.warning(request, _("Only the workshop that stated it can take it back."))
    return redirect("number", pk=said.old_id)
