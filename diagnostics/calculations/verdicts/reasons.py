"""Reason codes of findings, and the one next step that each needs.

Reasons that a finding carries (``Finding.reason``), and the next step that ``assess`` names for each unproven one:

=====================  =====================================================  ================================
reason                 meaning                                                next step
=====================  =====================================================  ================================
clear_of_limit         the whole interval lies strictly inside                none (within)
beyond_limit           the whole interval lies strictly outside               none (outside)
touches_limit          the interval touches or straddles the limit            use_finer_instrument
bound_undecided        a bound ("at least", "at most") doesn't reach          use_other_range
no_limit               nobody gave a limit                                    enter_limit
limit_without_source   the limit doesn't say where it comes from              name_source_of_limit
uncertainty_unknown    the instrument's accuracy is not known                 enter_instrument_accuracy
missing                the reading is not there                               take_reading
missing_...            something that the reading needs is not there          take_reading
stale                  the reading is too old, or was disturbed               take_reading_again
wrong_state            the car was not in the state that the record needs     take_reading_in_required_state
overdue_instrument     the instrument's calibration has run out               use_instrument_in_date
temperature_out_of_..  no rule corrects from the measured temperature         measure_between_10_and_85_c
read_too_early         the test voltage was not on for long enough            take_reading_again
damp                   the winding was damp                                   dry_and_measure_again
of one subject         see ``NEXT_STEP_FOR_REASON``                           a step of its own
any other concern      told by the caller or by the subject's own module      clear_concern
=====================  =====================================================  ================================

A concern that the caller or a subject's own module gives becomes the reason as it stands. Steps that begin with
``stop`` come before all others; then what the unproven findings need; then what the subject's module adds.
"""

NEXT_STEP_FOR_REASON = {
    "touches_limit": "use_finer_instrument",
    "bound_undecided": "use_other_range",
    "no_limit": "enter_limit",
    "limit_without_source": "name_source_of_limit",
    "uncertainty_unknown": "enter_instrument_accuracy",
    "missing": "take_reading",
    "stale": "take_reading_again",
    "wrong_state": "take_reading_in_required_state",
    "overdue_instrument": "use_instrument_in_date",
    "overdue_resistor": "use_resistor_in_date",
    "instrument_fails_check": "use_other_instrument",
    "temperature_out_of_range": "measure_between_10_and_85_c",
    "read_too_early": "take_reading_again",
    "damp": "dry_and_measure_again",
    # Of the record around the reading, and of the subjects.
    "missing_temperature": "measure_temperature",
    "missing_second_person": "name_second_person",
    "not_authorised_live": "let_authorised_person_measure",
    "absence_not_proved": "prove_absence_of_voltage",
    "missing_calibration_date": "enter_calibration_date",
    "isolation_monitor_on": "switch_isolation_monitor_off",
    "missing_meter_proof_before": "prove_meter_before_and_after",
    "missing_meter_proof_after": "prove_meter_before_and_after",
    "test_current_too_low": "use_more_current",
    "reading_below_null": "null_leads_again",
    "missing_null": "null_leads_again",
    "lower_than_before_unplugging": "start_again_with_all_connected",
    "open_contact_conducts": "find_what_lies_across_contact",
    "missing_rotor_positions": "read_more_rotor_positions",
    "missing_lead_resistance": "null_leads_again",
    "missing_resistance_above_leads": "null_leads_again",
    "missing_pair_out_of_range": "use_other_range",
    "missing_coil_out_of_range": "use_other_range",
    "missing_drop_with_resistor": "take_reading_again",
    "missing_test_current": "enter_test_current",
    "steps_not_done": "finish_making_safe",
    "not_qualified": "let_qualified_person_measure",
    "log_begins_late": "log_from_switching_off",
    "not_one_minute": "take_reading_again",
    "not_at_20_c": "measure_at_20_c",
    "pilot_needs_live": "read_pilot_live",
    "not_taken_dead": "take_the_rest_dead",
    "missing_blocks": "read_all_blocks",
    "missing_direction": "read_both_directions",
    "differs_from_other_switches": "compare_with_other_meter",
    "missing_start_above_60_v": "log_from_switching_off",
    "missing_rated_capacity": "enter_rated_capacity",
    "missing_discharge_current": "exchange_sign_of_current",
}
