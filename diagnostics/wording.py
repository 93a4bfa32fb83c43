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
    "log_begins_late": gettext_lazy("The log begins lower than the voltage that stood there at switching off."),
    "not_one_minute": gettext_lazy("The index compares ten minutes with one: the first reading was not at one minute."),
    "overdue_resistor": gettext_lazy("The certificate of the check resistor has run out."),
    "instrument_fails_check": gettext_lazy(
        "Checked that day against a certified resistor, the meter read outside the accuracy that it states."
    ),
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
    "steps_not_done": gettext_lazy("The steps of making safe were not all done since the car was last live."),
    "not_qualified": gettext_lazy("Who took it holds no qualification that is valid today."),
    "absence_not_proved": gettext_lazy("Absence of voltage was not proved before, or the proof has ended."),
    "missing_lead_resistance": gettext_lazy("The resistance of the test leads is missing."),
    "missing_resistance_above_leads": gettext_lazy("A pair reads no more than the test leads alone."),
    "missing_pair_out_of_range": gettext_lazy("A pair lies beyond the range, so the three can’t be compared."),
    "missing_rotor_positions": gettext_lazy(
        "Too few positions of the rotor: with magnets or a wound rotor only whole curves compare."
    ),
    "missing_voltage_while_turning": gettext_lazy("No voltage at all was read while the machine turned."),
    "missing_equal_rows": gettext_lazy("The rows are not of one length: each position, step or time needs its figure."),
    "missing_steps": gettext_lazy("Two steps at least."),
    "missing_distinct_steps": gettext_lazy("Two steps have the same command."),
    "missing_blocks": gettext_lazy("Not all blocks that this system has were read."),
    "missing_step_of_current": gettext_lazy(
        "The current was the same before and at the end, so that nothing can be told."
    ),
    "missing_fall_with_discharge": gettext_lazy(
        "The voltage rose with the discharge current: readings exchanged, or the other sign."
    ),
    "missing_coil_out_of_range": gettext_lazy("Sine or cosine lies beyond the range, so the two can’t be compared."),
    "missing_direction": gettext_lazy("One of the two directions was not read."),
    "missing_null": gettext_lazy("The test leads were not nulled."),
    "missing_test_current": gettext_lazy("Nobody wrote down how much current the bonds were tested with."),
    "missing_flow": gettext_lazy("No flow was measured. A pump that is only heard proves none."),
    "missing_look": gettext_lazy("Nobody looked at it."),
    "missing_lock": gettext_lazy("Nobody tried the lock."),
    "missing_load_current": gettext_lazy("The current of the load is missing, so the loaded voltage proves nothing."),
    "lower_than_before_unplugging": gettext_lazy(
        "It is lower than before something was unplugged: something else was changed."
    ),
    "shorted": gettext_lazy("Shorted: under 0.1 V."),
    "conducts_in_reverse": gettext_lazy("It conducts in reverse, where the diode has to block."),
    "open_forward": gettext_lazy(
        "It is open forward. On silicon that is a fault; on silicon carbide it proves nothing."
    ),
    "differs_from_other_switches": gettext_lazy("It is more than 10 % away from the other switches of this stage."),
    "open_contact_conducts": gettext_lazy(
        "A contact that is commanded open shows a resistance, and no limit says how high it has to be."
    ),
    "test_current_too_low": gettext_lazy("Less than 0.2 A is too little to find a bad bond."),
    "reading_below_null": gettext_lazy("It reads less than the leads alone."),
    "no_rise": gettext_lazy("The fan does not move more at this step than at the one before."),
    "blocked": gettext_lazy("Filter or duct is blocked."),
    "water": gettext_lazy("Water or oil in the coolant."),
    "metal": gettext_lazy("Metal in the coolant."),
    "colour": gettext_lazy("The coolant has the wrong or a changed colour."),
    "level_low": gettext_lazy("The level is too low."),
    "air_in_loop": gettext_lazy("There is air in the loop."),
    "flat_curve": gettext_lazy("Iron phosphate hardly changes its voltage here, so that its blocks can’t be compared."),
    "log_has_gaps": gettext_lazy("The log has gaps."),
    "battery_first": gettext_lazy(
        "The 12 V battery is not known to be good, so nothing is proved about the converter."
    ),
    "smart_control": gettext_lazy("The car varies this voltage, so that a low one without load may be meant."),
    "still_climbing": gettext_lazy("It was still getting warmer when the run ended."),
    "run_too_short": gettext_lazy("Too few readings at the end of the run to tell whether it had settled."),
    "melted": gettext_lazy("Melted."),
    "burnt_contact": gettext_lazy("A contact is burnt."),
    "corrosion": gettext_lazy("Corroded."),
    "loose_contact": gettext_lazy("A contact is loose."),
    "cracked": gettext_lazy("Cracked."),
    "lock_does_not_hold": gettext_lazy("The lock does not hold the plug."),
    "not_at_20_c": gettext_lazy("The limit of a sensor holds at 20 °C; the inlet was colder or warmer."),
    "pilot_needs_live": gettext_lazy("The pilot is read with the car live; this record is of a dead one."),
    "not_taken_dead": gettext_lazy("Nobody says that all but the pilot was taken with the car dead."),
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
    "enter_test_current": gettext_lazy("Write down how much current the bonds were tested with."),
    "finish_making_safe": gettext_lazy("Do the steps of making safe, then prove absence of voltage again."),
    "let_qualified_person_measure": gettext_lazy("Let somebody measure whose qualification is valid today."),
    "use_resistor_in_date": gettext_lazy("Use a check resistor whose certificate still holds."),
    "use_other_instrument": gettext_lazy("Measure with another instrument, and have this one looked at."),
    "stop_above_60_v": gettext_lazy("Stop: more than 60 V. Nobody touches anything; find out why it is still live."),
    "hold_and_explain": gettext_lazy("Hold: more than 5 V is left. Explain it before you go on."),
    "compare_inductance_curves": gettext_lazy("Compare the inductance of the three pairs over a turn of the rotor."),
    "measure_back_voltage": gettext_lazy("Turn the machine and compare its three voltages."),
    "look_for_open_winding": gettext_lazy("Look for an open winding or connector."),
    "clear_concern": gettext_lazy("See to what stands in the way, and measure again."),
    "measure_between_10_and_85_c": gettext_lazy("Measure again with the winding between 10 and 85 °C."),
    "dry_and_measure_again": gettext_lazy("Dry it, and measure again."),
    "measure_temperature": gettext_lazy("Measure the temperature of the part."),
    "name_second_person": gettext_lazy("Name who stands by."),
    "let_authorised_person_measure": gettext_lazy("Let somebody measure whose authorisation for live work is valid."),
    "prove_absence_of_voltage": gettext_lazy("Prove absence of voltage, and measure again."),
    "enter_calibration_date": gettext_lazy("Enter until when the instrument is in date."),
    "switch_isolation_monitor_off": gettext_lazy(
        "Switch the car’s isolation monitor off as the maker says, and measure again."
    ),
    "prove_meter_before_and_after": gettext_lazy(
        "Prove the meter on a known source right before and right after, and measure again."
    ),
    "use_more_current": gettext_lazy("Test the bonds with 0.2 A or more."),
    "null_leads_again": gettext_lazy(
        "Hold the test leads together, null them or type what they read, and measure again."
    ),
    "start_again_with_all_connected": gettext_lazy("Connect everything again and start from there."),
    "find_what_lies_across_contact": gettext_lazy(
        "Find what lies across the contact, or enter the maker’s limit for it."
    ),
    "read_more_rotor_positions": gettext_lazy("Read six positions of the rotor at least, over a whole turn."),
    "measure_at_20_c": gettext_lazy("Let the inlet come to 20 °C and read its sensors again."),
    "read_pilot_live": gettext_lazy("With the rest within its limits, read the pilot with the car live."),
    "take_the_rest_dead": gettext_lazy("Take everything but the pilot with the car dead, and say so."),
    "read_all_blocks": gettext_lazy("Read every block of the battery."),
    "read_both_directions": gettext_lazy("Read each switch forward and reversed."),
    "compare_with_other_meter": gettext_lazy(
        "Read that switch again, and with another meter: it stands apart from the others."
    ),
    "log_from_switching_off": gettext_lazy("Log from the moment of switching off, while more than 60 V is there."),
    "enter_rated_capacity": gettext_lazy("Type the rated capacity, or choose the system family."),
    "exchange_sign_of_current": gettext_lazy("Exchange the sign of the current: discharge is positive."),
    "look_at_what_was_typed": gettext_lazy("Look at what was typed: as it stands it can’t be judged."),
    "suspect_shorted_turn": gettext_lazy(
        "Suspect a shorted turn in the pair that stands apart, before a new part is fitted."
    ),
    "suspect_winding": gettext_lazy(
        "The pairs differ: suspect the winding, and compare its resistances and inductances."
    ),
    "suspect_weak_magnets": gettext_lazy(
        "Low in all pairs alike: suspect weakened magnets. Read the speed once more before you say so."
    ),
    "leak_in_the_rest": gettext_lazy("None of them: look at wiring, connectors, coolant and the battery itself."),
    "unplug_one_after_the_other": gettext_lazy("Prove absence of voltage, and unplug one consumer after the other."),
    "leak_in_compressor": gettext_lazy("The cabin compressor leaks: unplugged, the isolation comes back."),
    "leak_in_heater": gettext_lazy("The heater leaks: unplugged, the isolation comes back."),
    "leak_in_charger": gettext_lazy("The charger leaks: unplugged, the isolation comes back."),
    "leak_in_dc_converter": gettext_lazy("The DC-DC converter leaks: unplugged, the isolation comes back."),
    "leak_in_machine": gettext_lazy("The machine or its cables leak: unplugged, the isolation comes back."),
    "leak_in_inverter": gettext_lazy("The inverter leaks: unplugged, the isolation comes back."),
    "leak_in_other": gettext_lazy("The other consumer that was named leaks: unplugged, the isolation comes back."),
    "stop_contact_welded": gettext_lazy(
        "Stop: a contact that was commanded open is closed. The battery is connected; nobody touches anything."
    ),
    "stop_do_not_charge": gettext_lazy("Stop: no charging through this inlet."),
    "check_filter_duct_and_fan": gettext_lazy("Look at filter, duct, plug and the fan itself."),
    "look_at_filter_and_duct": gettext_lazy("Look at filter and duct first."),
    "clean_filter_and_duct": gettext_lazy("Clean filter and duct, and sweep the fan again."),
    "measure_flow": gettext_lazy("Measure the flow."),
    "look_at_coolant": gettext_lazy("Look at level and coolant."),
    "find_leak_and_flush": gettext_lazy("Find where it comes in, mend it and flush the loop."),
    "find_source_of_metal": gettext_lazy("Find what the metal comes from before a new part goes into this loop."),
    "identify_coolant_and_flush": gettext_lazy("Find out which coolant belongs there, and flush the loop."),
    "find_leak_and_fill": gettext_lazy("Find where it went, and fill the loop."),
    "bleed_the_loop": gettext_lazy("Bleed the loop as the maker says, and measure again."),
    "clean_bus_bars_and_sense_leads": gettext_lazy(
        "Clean bus bars and sense leads and measure again before a block is condemned."
    ),
    "charge_or_discharge_off_the_plateau": gettext_lazy(
        "Charge or discharge to the steep part of the curve, note the charge, and read again."
    ),
    "discharge_to_cut_off": gettext_lazy("Discharge down to the cut-off."),
    "zero_clamp_before_and_after": gettext_lazy("Read the clamp’s zero before and after."),
    "log_discharge_again": gettext_lazy("Log the discharge again without gaps."),
    "measure_capacity_on_bench": gettext_lazy(
        "Measure the capacity on the bench: a module’s estimate has no stated accuracy."
    ),
    "test_12v_battery_first": gettext_lazy("Test or charge the 12 V battery first."),
    "measure_under_load": gettext_lazy("Measure under load."),
    "measure_load_current": gettext_lazy("Measure the current of the load."),
    "run_until_temperature_settles": gettext_lazy(
        "Run until the device stops getting warmer, with more readings at the end."
    ),
    "look_at_inlet": gettext_lazy("Look at contacts and housing."),
    "try_lock": gettext_lazy("Try the lock."),
}


# Steps that are no step: what the reading leaves open, to be borne in mind.
REMARKS: dict[str, Promise] = {
    "stands_on_check_of_the_day": gettext_lazy(
        "The meter’s calibration has run out: this stands on a check of that day against a certified resistor."
    ),
    "check_resistor_would_lift": gettext_lazy(
        "Or check this range today against a certified resistor: where it reads that right, its readings count today."
    ),
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
    "turning_makes_voltage": gettext_lazy("As long as anything turns, the terminals of the machine are live."),
    "gates_not_proved": gettext_lazy(
        "A diode check says nothing about the gates: a unit with good diodes may still not switch."
    ),
    "learn_offset_after_fitting": gettext_lazy(
        "The sensor’s offset has to be learnt after fitting, as the maker says."
    ),
    "single_exchanged_block_comes_back": gettext_lazy(
        "A single exchanged block comes back: old and new ones drift apart."
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
