"""Questions and replies under a request."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from network.access import MemberRequest, member_required
from network.asked import key_of
from parts import asking_back
from parts.question_forms import QuestionForm
from parts.views.requests import show_request, visible


@member_required
@require_POST
def question_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask under a request, or reply to a question there (`replies_to`)."""
    asked = get_object_or_404(visible(request.membership), pk=pk)
    replied = key_of(request.POST.get("replies_to"))
    question = get_object_or_404(asked.questions, pk=replied) if request.POST.get("replies_to") else None
    form = QuestionForm(request.POST)
    if not form.is_valid():
        return show_request(request, asked, status=422, question_form=form, replies_to=question)
    try:
        asking_back.ask(request=asked, text=form.cleaned_data["text"], by=request.membership, replies_to=question)
    except asking_back.Closed:
        messages.warning(request, _("This request takes no more questions."))
        return show_request(request, asked, status=409, question_form=form)
    messages.success(request, _("Everybody who sees the request reads it; whoever it is for is told."))
    return redirect("request", pk=pk)
