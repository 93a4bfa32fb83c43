"""Pictures as files: a workshop's own, and those shared with every member."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from network.access import MemberRequest, SignedInRequest, member_required, shared_required
from network.models import Picture, SharedPicture
from network.pictures import served


@member_required
@require_safe
def picture(request: MemberRequest, pk: int) -> HttpResponse:
    """A picture of the acting workshop; foreign and missing are both 404."""
    return served(get_object_or_404(Picture, pk=pk))


@shared_required
@require_safe
def shared_picture(request: SignedInRequest, pk: int) -> HttpResponse:
    """A picture that a member showed to all, until it was taken back; administrators see what they may take down."""
    return served(get_object_or_404(SharedPicture, pk=pk, taken_back_at=None))
