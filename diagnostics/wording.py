"""Reason codes and next steps of the calculations, as sentences of the trade. The codes carry no text of their own."""

from __future__ import annotations

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

REASONS: dict[str, Promise] = {
    "clear_of_limit": gettext_lazy("The whole interval of the reading lies inside the limit."),
    "beyond_limit": gettext_lazy("The whole interval of the reading lies outside the limit."),
    "touches_limit": gettext_lazy("The instrument’s uncertainty reaches across the limit, so this reading can’t tell."),
    "bound_undecided": gettext_lazy("The display’s bound doesn’t reach the limit, so it can’t tell."),
    "no_limit": gettext_lazy("No limit is known for this system. The reading is kept."),
    "limit_without_source": gettext_lazy("The limit names no source."),
    "uncertainty_unknown": gettext_lazy("The accuracy of the instrument is not known."),
    "missing": gettext_lazy("A reading is missing."),
    "stale": gettext_lazy("The reading is too old, or was disturbed since."),
    "wrong_state": gettext_lazy("The car was not in the state that this measurement needs."),
    "overdue_instrument": gettext_lazy("The instrument’s calibration has run out."),
    "missing_calibration_date": gettext_lazy("Nobody entered until when the instrument is in date."),
    "missing_temperature": gettext_lazy("The temperature of the part is missing."),
    "missing_second_person": gettext_lazy("Nobody is named who stood by."),
    "not_authorised_live": gettext_lazy("Who took it holds no valid authorisation for work on live systems."),
    "absence_not_proved": gettext_lazy("Absence of voltage was not proved before, or the proof has ended."),
}

NEXT_STEPS: dict[str, Promise] = {
    "use_finer_instrument": gettext_lazy("Measure again with a finer range or instrument."),
    "use_other_range": gettext_lazy("Measure again in a range that reaches beyond the limit."),
    "enter_limit": gettext_lazy("Enter the maker’s limit, with its source, for this system family."),
    "name_source_of_limit": gettext_lazy("Name where the limit comes from."),
    "enter_instrument_accuracy": gettext_lazy("Choose the instrument, so that its accuracy is known."),
    "take_reading": gettext_lazy("Take the missing reading."),
    "take_reading_again": gettext_lazy("Take the reading again."),
    "take_reading_in_required_state": gettext_lazy("Bring the car into the state that this measurement needs, and measure again."),
    "use_instrument_in_date": gettext_lazy("Use an instrument that is in date."),
    "clear_concern": gettext_lazy("See to what stands in the way, and measure again."),
}


def reason_words(code: str) -> str:
    """Why a verdict is what it is."""
    return str(REASONS[code]) if code in REASONS else _plain(code)


def next_step_words(code: str) -> str:
    """What to do next."""
    return str(NEXT_STEPS[code]) if code in NEXT_STEPS else _plain(code)


def authority_words(authority: str) -> str:
    return {"maker": _("the maker"), "standard": _("a standard"), "common practice": _("common practice")}[authority]


def _plain(code: str) -> str:
    """A code without a sentence of its own, at least as words."""
    words = code.replace("_", " ")
    return f"{words[:1].upper()}{words[1:]}."
