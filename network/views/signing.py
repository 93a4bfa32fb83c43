"""One's own signing code: set by the person, behind the password."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from network import signing
from network.access import MemberRequest, member_required
from network.forms import SigningCodeForm
from network.models import SigningCode


@member_required
@reauthentication_required
@require_http_methods(["GET", "HEAD", "POST"])
def signing_code(request: MemberRequest) -> HttpResponse:
    """Set or change the code that one signs with in the bay."""
    form = SigningCodeForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            signing.set_code(person=request.user, code=form.cleaned_data["code"])
        except ValidationError as easy:
            form.add_error("code", easy)
        else:
            messages.success(request, _("Your signing code is set. Tell it to nobody."))
            return redirect("our_workshop")
    has_one = SigningCode.objects.filter(person=request.user).exists()
    context = {"form": form, "has_one": has_one}
    return render(request, "network/signing_code.html", context, status=422 if form.errors else 200)
