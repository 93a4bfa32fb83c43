"""What the person watches for on the board."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from network.access import MemberRequest, member_required
from parts import watching
from parts.models import Watch
from parts.question_forms import WatchForm


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def watches(request: MemberRequest) -> HttpResponse:
    """The person's watches, and a form for one more."""
    first = {name: request.GET.get(name, "")[:20] for name in ("part_kind", "family")}
    form = WatchForm(request.POST if request.method == "POST" else None, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            watching.watch(wanted=form.save(commit=False), by=request.membership)
        except watching.TooMany:
            form.add_error(None, _("You watch for as much as one can follow. Stop one of them first."))
        else:
            messages.success(request, _("You are told as soon as it is asked for in your region."))
            return redirect("watches")
    mine = Watch.objects.filter(person=request.user).select_related("family", "region")
    context = {"form": form, "watches": list(mine)}
    return render(request, "parts/watches.html", context, status=422 if form.errors else 200)


@member_required
@require_POST
def watch_stop(request: MemberRequest, pk: int) -> HttpResponse:
    """Watch for it no longer."""
    watch = get_object_or_404(Watch.objects.filter(person=request.user), pk=pk)
    watching.stop(watch=watch.pk, by=request.membership)
    messages.success(request, _("You are no longer told of it."))
    return redirect("watches")
