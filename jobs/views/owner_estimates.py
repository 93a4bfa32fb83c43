"""An estimate as its owner sees it through the private link of the job, and answers it."""

from __future__ import annotations

import hmac

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from diagnostics.chain import hash_of
from jobs import estimate_words, estimating, owner_link
from jobs.estimate_forms import AnswerForm
from jobs.models import Estimate


@require_http_methods(["GET", "HEAD", "POST"])
def car_estimate(request: HttpRequest, token: str, number: int) -> HttpResponse:
    """Read a version and agree to it or decline it, by the text that was seen."""
    with owner_link.followed_job(token) as job:
        rows = Estimate.objects.filter(job=job).shown().select_related("job__vehicle", "workshop", "answer")
        found = get_object_or_404(rows, number=number)
        told = estimate_words.shown(found)
        text = estimate_words.text_of(told)
        seen = hash_of(text)
        sent = request.POST if request.method == "POST" else None
        form = AnswerForm(sent, initial={"seen": seen})
        status = 422 if form.errors else 200
        if sent and form.is_valid():
            typed = form.cleaned_data
            same = hmac.compare_digest(typed["seen"].encode(), seen.encode())
            if same and sent.get("act") in ("agree", "decline"):
                said = {"agreed": sent["act"] == "agree", "name": typed["name"], "reason": typed["reason"]}
                try:
                    estimating.answer(estimate=found, text=text, **said)
                except estimating.Overtaken:
                    pass
                else:
                    return redirect("car_estimate", token=token, number=number)
            status = 409
            found.refresh_from_db()
            form = AnswerForm(initial={"seen": seen, "name": typed["name"]})
        answer = getattr(found, "answer", None)
        context = {
            "job": job, "workshop": job.workshop, "token": token, "told": told, "estimate": found, "form": form,
            "answer": answer, "text": answer.text if answer else text, "digest": answer.digest if answer else seen,
            "changed": status == 409, "last": rows.last(),
        }  # fmt: skip
        return render(request, "jobs/car_estimate.html", context, status=status)
