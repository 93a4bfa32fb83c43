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
    "damp": gettext_lazy("It was damp."),
    "temperature_out_of_range": gettext_lazy("Outside 10 to 85 °C the reading can’t be referred to 40 °C."),
    "read_too_early": gettext_lazy("It was read before one minute had gone."),
    "isolation_monitor_on": gettext_lazy("The car’s own isolation monitor was on and disturbs the readings."),
    "missing_drop_with_resistor": gettext_lazy(
        "With the resistor the voltage has to be lower than without it, and above zero. Read all of them again."
    ),
    "missing_samples": gettext_lazy("Two samples at least, as many times as voltages."),
    "missing_order_in_time": gettext_lazy("The times run backwards."),
    "missing_start_above_60_v": gettext_lazy("The log has to begin above 60 V."),
    "missing_rated_capacity": gettext_lazy("The rated capacity is missing."),
    "missing_discharge_current": gettext_lazy("The log’s current has the other sign: discharge is positive here."),
    "missing_clamp_zero": gettext_lazy("The clamp’s zero before and after is missing."),
    "missing_meter_proof_before": gettext_lazy("The meter was not proved on a known source before."),
    "missing_meter_proof_after": gettext_lazy("The meter was not proved on a known source after."),
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
    "take_reading_in_required_state": gettext_lazy(
        "Bring the car into the state that this measurement needs, and measure again."
    ),
    "use_instrument_in_date": gettext_lazy("Use an instrument that is in date."),
    "stop_above_60_v": gettext_lazy("Stop: more than 60 V. Nobody touches anything; find out why it is still live."),
    "hold_and_explain": gettext_lazy("Hold: more than 5 V is left. Explain it before you go on."),
    "compare_inductance_curves": gettext_lazy("Compare the inductance of the three pairs over a turn of the rotor."),
    "measure_back_voltage": gettext_lazy("Turn the machine and compare its three voltages."),
    "look_for_open_winding": gettext_lazy("Look for an open winding or connector."),
    "clear_concern": gettext_lazy("See to what stands in the way, and measure again."),
}


# Steps that are no step: what the reading leaves open, to be borne in mind.
REMARKS: dict[str, Promise] = {
    "shorted_turn_not_excluded": gettext_lazy(
        "A shorted turn is not excluded: one in forty moves the unbalance by 0.8 % only."
    ),
    "star_point_hides_phases": gettext_lazy("An internal star point hides the insulation between phases."),
    "keep_the_makers_wait": gettext_lazy(
        "A logged discharge never says how long to wait: keep the maker’s waiting time."
    ),
    "measure_pole_to_pole": gettext_lazy(
        "Measured between the poles the result is exact; the sum of two readings understates it."
    ),
}


def is_remark(code: str) -> bool:
    """Whether this "step" is only to be borne in mind."""
    return code in REMARKS


def reason_words(code: str) -> str:
    """Why a verdict is what it is."""
    return str(REASONS[code]) if code in REASONS else _plain(code)


def next_step_words(code: str) -> str:
    """What to do next, or to bear in mind."""
    words = NEXT_STEPS.get(code) or REMARKS.get(code)
    return str(words) if words else _plain(code)


def authority_words(authority: str) -> str:
    return {"maker": _("the maker"), "standard": _("a standard"), "common practice": _("common practice")}[authority]


def _plain(code: str) -> str:
    """A code without a sentence of its own, at least as words."""
    words = code.replace("_", " ")
    return f"{words[:1].upper()}{words[1:]}."
