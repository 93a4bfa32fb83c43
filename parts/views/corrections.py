"""Pages on which a part number or a revision is put right, and the button of a second workshop that saw the same."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from network.access import MemberRequest, member_required
from parts import correcting, entering
from parts.models import PartNumber, PartRevision
from parts.number_forms import NumberCorrectionForm, RevisionCorrectionForm
from parts.views.numbers import number_or_404

REFUSED = correcting.CorrectedMeanwhile, correcting.NothingDiffers, entering.NamedAlready, entering.KnownAlready
MEANWHILE = gettext_lazy(
    "Somebody corrected it meanwhile. What stands now is below; what you wrote is in the form: send it again."
)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def number_correct(request: MemberRequest, pk: int) -> HttpResponse:
    """Put right what a number is, what it fits and, where one's own, how it is printed."""
    shown = number_or_404(pk)
    standing = correcting.sign_of_number(shown)
    form = NumberCorrectionForm(
        request.POST if request.method == "POST" else None, instance=number_or_404(pk),
        may_rename=correcting.may_rename(shown, by=request.membership),
        initial={"seen": standing, "families": shown.families.all()},
    )  # fmt: skip

    def keep(made: PartNumber, **said: Any) -> None:
        correcting.correct_number(number=made, families=form.cleaned_data["families"], **said)

    return _answered(request, form, standing, keep, "parts/number_correct.html", number=shown)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def revision_correct(request: MemberRequest, pk: int) -> HttpResponse:
    """Put right what one's own workshop stated of a revision."""
    shown = _revision_or_404(pk)
    if not correcting.may_correct(shown, by=request.membership):
        raise Http404
    standing = correcting.sign_of_revision(shown)
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = RevisionCorrectionForm(*posted, instance=_revision_or_404(pk), initial={"seen": standing})

    def keep(made: PartRevision, **said: Any) -> None:
        correcting.correct_revision(revision=made, photos=form.cleaned_data["photos"], **said)

    page = "parts/revision_correct.html"
    return _answered(request, form, standing, keep, page, number=shown.part_number, revision=shown)


@member_required
@require_POST
def revision_confirm(request: MemberRequest, pk: int) -> HttpResponse:
    """A second workshop saw the same marks."""
    shown = _revision_or_404(pk)
    try:
        if not correcting.confirm_revision(revision=shown, seen=request.POST.get("seen", ""), by=request.membership):
            messages.warning(request, _("It is confirmed already, or your own workshop entered it."))
    except correcting.CorrectedMeanwhile:
        messages.warning(request, _("It was corrected since you read it. Look at its marks again."))
    return redirect("number", pk=shown.part_number_id)


def _revision_or_404(pk: int) -> PartRevision:
    return get_object_or_404(PartRevision.objects.select_related("part_number", "entered_by_workshop"), pk=pk)


def _answered(
    request: MemberRequest, form: Any, standing: str, keep: Callable[..., None], page: str, **shown: Any
) -> HttpResponse:
    """Keep what was sent and go to the number's page, or show the form with what is wrong with it."""
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            keep(form.save(commit=False), why=typed["reason"], seen=typed["seen"], by=request.membership)
        except REFUSED as refused:
            status = _refused(form, refused, standing)
        else:
            return redirect("number", pk=shown["number"].pk)
    return render(request, page, {"form": form, **shown}, status=status)


def _refused(form: forms.Form, refused: Exception, standing: str) -> int:
    """Say in the form why nothing was changed; after somebody else's correction it may be sent again."""
    if isinstance(refused, correcting.CorrectedMeanwhile):
        form.data = MultiValueDict({**dict(form.data.lists()), "seen": [standing]})  # type: ignore[attr-defined]
        form.add_error(None, MEANWHILE)
        return 409
    if isinstance(refused, correcting.NothingDiffers):
        form.add_error(None, _("Nothing differs from what stands. Change what is wrong."))
    elif isinstance(refused, entering.NamedAlready):
        form.add_error("name", _("This number has a revision of this name. Look at it, or give another name."))
    else:
        form.add_error("number", _("The network knows this number already. Use its page."))
    return 422
