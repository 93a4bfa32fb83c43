"""Who may use which address: every URL name, with what each kind of person gets for it.

A row: method, object, payload, then the answer for each of ROLES in turn. Objects and payloads are named in
`tests/access_scene.py`; "-" is none. An answer is a status, or `in`: sent to the page for signing in (a plain 302
leads elsewhere). `tests/test_access.py` walks the table, and fails for an address that isn't in it.

Foreign and missing are both 404. Nobody acts for a workshop that was suspended, waits, or isn't theirs: 403 then, the
sentence is the same for every page. Methods that no row names: `tests/test_access.py`.
"""

from tests.access_matrix_accounts import ACCOUNTS
from tests.access_matrix_beginning import BEGINNING
from tests.access_matrix_board import BOARD
from tests.access_matrix_estimates import ESTIMATES
from tests.access_matrix_numbers import NUMBERS
from tests.access_matrix_outcomes import OUTCOMES
from tests.access_matrix_programs import PROGRAMS

ROLES = (
    "visitor",  # nobody signed in
    "owner",  # nobody signed in, with a private link to an enquiry at A
    "applicant",  # whose workshop waits for a decision
    "technician",  # of A
    "manager",  # of A
    "member_of_b",  # a technician of B
    "suspended",  # a member of a workshop that was suspended
    "administrator",
    "inactive",  # was a member of A, may no longer sign in
)

# Answers to OPTIONS of the interface for programs; everywhere else only the methods in the rows are answered.
TELLS_ITS_METHODS = {"near", "schema"}
GET_ONLY = {"docs"}  # the library's page breaks on HEAD

ELSEWHERE = (
    ACCOUNTS | BEGINNING | BOARD | ESTIMATES | NUMBERS | OUTCOMES | PROGRAMS
)  # rows that stand in files of their own

ROWS: dict[str, str] = {
    # The network: finding, applying, deciding, notices, the own workshop
    "find": """
        GET  -                        -                  200 200 200 200 200 200 200 200 200
        GET  -                        known_place        200 200 200 200 200 200 200 200 200
        GET  -                        unknown_place      404 404 404 404 404 404 404 404 404
        GET  -                        bad_radius         422 422 422 422 422 422 422 422 422
        POST -                        -                  405 405 405 405 405 405 405 405 405
    """,
    "workshop": """
        GET  workshop_of_a            -                  200 200 200 200 200 200 200 200 200
        GET  workshop_suspended       -                  404 404 404 404 404 404 404 404 404
        GET  workshop_waiting         -                  404 404 404 404 404 404 404 404 404
        GET  missing                  -                  404 404 404 404 404 404 404 404 404
        POST workshop_of_a            -                  405 405 405 405 405 405 405 405 405
    """,
    "proof": """
        GET  -                        -                  200 200 200 200 200 200 200 200 200
        POST -                        -                  405 405 405 405 405 405 405 405 405
    """,
    "near": """
        GET  -                        known_postcode     200 200 200 200 200 200 200 200 200
        GET  -                        unknown_postcode   404 404 404 404 404 404 404 404 404
        GET  -                        bad_work           400 400 400 400 400 400 400 400 400
        GET  -                        -                  400 400 400 400 400 400 400 400 400
        POST -                        known_postcode     405 405 405 405 405 405 405 405 405
    """,
    "apply": """
        GET  -                        -                  in  in  200 200 200 200 200 200 in
        POST -                        -                  in  in  422 422 422 422 422 422 in
        POST -                        one_more_person    in  in  200 200 200 200 200 200 in
        POST -                        workshop           in  in  302 302 302 302 302 302 in
    """,
    "application": """
        GET  -                        -                  in  in  200 200 200 200 200 200 in
        POST -                        -                  in  in  405 405 405 405 405 405 in
    """,
    "membership_agree": """
        GET  naming_of_technician     -                  in  in  405 405 405 405 405 405 in
        POST naming_of_technician     -                  in  in  404 302 404 404 404 404 in
        POST membership_of_technician -                  in  in  404 302 404 404 404 404 in
        POST missing                  -                  in  in  404 404 404 404 404 404 in
    """,
    "applications": """
        GET  -                        -                  in  in  403 403 403 403 403 200 in
        GET  -                        page_of_nonsense   in  in  403 403 403 403 403 200 in
        POST -                        -                  in  in  403 403 403 403 403 405 in
    """,
    "application_decide": """
        GET  application_waiting      -                  in  in  403 403 403 403 403 200 in
        GET  application_decided      -                  in  in  403 403 403 403 403 200 in
        GET  missing                  -                  in  in  403 403 403 403 403 404 in
        POST application_waiting      -                  in  in  403 403 403 403 403 422 in
        POST application_waiting      approve_unseen     in  in  403 403 403 403 403 422 in
        POST application_waiting      decline            in  in  403 403 403 403 403 302 in
        POST application_decided      decline            in  in  403 403 403 403 403 409 in
        POST missing                  decline            in  in  403 403 403 403 403 404 in
    """,
    "notices": """
        GET  -                        -                  in  in  200 200 200 200 200 200 in
        GET  -                        page_of_nonsense   in  in  200 200 200 200 200 200 in
        POST -                        -                  in  in  405 405 405 405 405 405 in
    """,
    "notice_open": """
        GET  notice_of_technician     -                  in  in  405 405 405 405 405 405 in
        POST notice_of_technician     -                  in  in  404 302 404 404 404 404 in
        POST missing                  -                  in  in  404 404 404 404 404 404 in
    """,
    "notices_choose": """
        GET  -                        -                  in  in  405 405 405 405 405 405 in
        POST -                        -                  in  in  302 302 302 302 302 302 in
        POST -                        told_daily         in  in  302 302 302 302 302 302 in
    """,
    "unsubscribe": """
        GET  no_mails_for_technician  -                  200 200 200 200 200 200 200 200 200
        POST no_mails_for_technician  -                  200 200 200 200 200 200 200 200 200
        GET  link_forged              -                  404 404 404 404 404 404 404 404 404
        POST link_forged              -                  404 404 404 404 404 404 404 404 404
    """,
    "notices_stuck": """
        GET  -                        -                  in  in  403 403 403 403 403 200 in
        POST -                        stuck_notice       in  in  403 403 403 403 403 302 in
        POST -                        missing_notice     in  in  403 403 403 403 403 404 in
        POST -                        -                  in  in  403 403 403 403 403 404 in
    """,
    "our_workshop": """
        GET  -                        -                  in  in  403 200 200 200 403 403 in
        POST -                        -                  in  in  403 403 422 403 403 403 in
        POST -                        own_details        in  in  403 403 302 403 403 403 in
    """,
    "act_for": """
        GET  -                        -                  in  in  405 405 405 405 405 405 in
        POST -                        -                  in  in  404 404 404 404 404 404 in
        POST -                        seat_of_technician in  in  404 302 404 404 404 404 in
        POST -                        seat_of_b          in  in  404 404 404 302 404 404 in
        POST -                        seat_not_agreed    in  in  404 404 404 404 404 404 in
        POST -                        seat_suspended     in  in  404 404 404 404 404 404 in
    """,
    "api_tokens": """
        GET  -                        -                  in  in  403 200 200 200 403 403 in
        POST -                        -                  in  in  403 403 422 403 403 403 in
        POST -                        new_token          in  in  403 403 200 403 403 403 in
    """,
    "api_token": """
        GET  token_of_a               -                  in  in  403 200 200 404 403 403 in
        GET  token_of_b               -                  in  in  403 404 404 200 403 403 in
        GET  missing                  -                  in  in  403 404 404 404 403 403 in
        POST token_of_a               -                  in  in  403 403 302 403 403 403 in
        POST token_of_b               -                  in  in  403 403 404 403 403 403 in
        POST missing                  -                  in  in  403 403 404 403 403 403 in
    """,
    "picture": """
        GET  picture_of_a             -                  in  in  403 200 200 404 403 403 in
        GET  picture_of_b             -                  in  in  403 404 404 200 403 403 in
        GET  missing                  -                  in  in  403 404 404 404 403 403 in
        POST picture_of_a             -                  in  in  403 405 405 405 403 403 in
    """,
    "shared_picture": """
        GET  shared_picture_of_a      -                  in  in  403 200 200 200 403 200 in
        GET  picture_taken_back       -                  in  in  403 404 404 404 403 404 in
        GET  missing                  -                  in  in  403 404 404 404 403 404 in
        POST shared_picture_of_a      -                  in  in  403 405 405 405 403 405 in
    """,
    # Measuring
    "families": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        GET  -                page_of_nonsense         in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 405 405 405 403 403 in
    """,
    "family_new": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 422 422 422 403 403 in
        POST -                family                   in  in  403 302 302 302 403 403 in
    """,
    "family": """
        GET  family           -                        in  in  403 200 200 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST family           -                        in  in  403 405 405 405 403 403 in
    """,
    "limit_new": """
        GET  family           -                        in  in  403 200 200 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST family           -                        in  in  403 422 422 422 403 403 in
        POST family           limit                    in  in  403 302 302 302 403 403 in
        POST missing          limit                    in  in  403 404 404 404 403 403 in
    """,
    "limit_take_back": """
        GET  limit_of_a       -                        in  in  403 405 405 405 403 403 in
        POST limit_of_a       -                        in  in  403 302 302 404 403 403 in
        POST limit_of_b       -                        in  in  403 404 404 302 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
    """,
    "limit_confirm": """
        GET  limit_of_b       -                        in  in  403 405 405 405 403 403 in
        POST limit_of_b       -                        in  in  403 302 302 302 403 403 in
        POST limit_of_a       -                        in  in  403 302 302 302 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
    """,
    "instruments": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 422 422 422 403 403 in
        POST -                meter                    in  in  403 302 302 302 403 403 in
    """,
    "instrument": """
        GET  instrument_of_a  -                        in  in  403 200 200 404 403 403 in
        GET  instrument_of_b  -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST instrument_of_a  -                        in  in  403 422 422 404 403 403 in
        POST instrument_of_a  range                    in  in  403 302 302 404 403 403 in
        POST instrument_of_b  range                    in  in  403 404 404 302 403 403 in
        POST instrument_of_b  meter                    in  in  403 404 404 302 403 403 in
        POST missing          range                    in  in  403 404 404 404 403 403 in
        POST missing          meter                    in  in  403 404 404 404 403 403 in
    """,
    "instrument_measure": """
        GET  instrument_of_a  -                        in  in  403 302 302 404 403 403 in
        GET  instrument_of_a  measures_on_a            in  in  403 302 302 404 403 403 in
        GET  instrument_of_b  measures_on_a            in  in  403 404 404 302 403 403 in
        GET  missing          measures_on_a            in  in  403 404 404 404 403 403 in
        POST instrument_of_a  -                        in  in  403 405 405 405 403 403 in
    """,
    "instrument_check": """
        GET  instrument_of_a  -                        in  in  403 200 200 404 403 403 in
        GET  instrument_of_b  -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST instrument_of_a  -                        in  in  403 422 422 404 403 403 in
        POST instrument_of_a  reads_resistor_of_a      in  in  403 302 302 404 403 403 in
        POST instrument_of_a  reads_resistor_of_b      in  in  403 422 422 404 403 403 in
        POST instrument_of_b  reads_resistor_of_b      in  in  403 404 404 302 403 403 in
        POST missing          reads_resistor_of_a      in  in  403 404 404 404 403 403 in
    """,
    "check_resistors": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 422 422 422 403 403 in
        POST -                resistor                 in  in  403 302 302 302 403 403 in
    """,
    "check_resistor": """
        GET  resistor_of_a    -                        in  in  403 200 200 404 403 403 in
        GET  resistor_of_b    -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST resistor_of_a    -                        in  in  403 422 422 404 403 403 in
        POST resistor_of_a    resistor                 in  in  403 302 302 404 403 403 in
        POST resistor_of_b    resistor                 in  in  403 404 404 302 403 403 in
        POST missing          resistor                 in  in  403 404 404 404 403 403 in
    """,
    "sheets": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 422 422 422 403 403 in
        POST -                sheet                    in  in  403 302 302 302 403 403 in
    """,
    "sheet": """
        GET  sheet_of_a       -                        in  in  403 200 200 404 403 403 in
        GET  sheet_of_b       -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST sheet_of_a       -                        in  in  403 405 405 405 403 403 in
    """,
    "log_new": """
        GET  sheet_of_a       -                        in  in  403 200 200 404 403 403 in
        GET  sheet_of_b       -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST sheet_of_a       -                        in  in  403 422 422 404 403 403 in
        POST sheet_of_a       log_file                 in  in  403 302 302 404 403 403 in
        POST sheet_of_b       log_file                 in  in  403 404 404 302 403 403 in
        POST missing          log_file                 in  in  403 404 404 404 403 403 in
    """,
    "log": """
        GET  log_of_a         -                        in  in  403 200 200 404 403 403 in
        GET  log_of_b         -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST log_of_a         -                        in  in  403 422 422 404 403 403 in
        POST log_of_a         log_columns              in  in  403 302 302 404 403 403 in
        POST log_of_a         log_settings             in  in  403 302 302 404 403 403 in
        POST log_of_b         log_columns              in  in  403 404 404 302 403 403 in
        POST log_of_b         log_settings             in  in  403 404 404 302 403 403 in
        POST missing          log_settings             in  in  403 404 404 404 403 403 in
    """,
    "sheet_battery": """
        GET  bench_battery_of_a -                      in  in  403 200 200 404 403 403 in
        GET  bench_battery_of_b -                      in  in  403 404 404 200 403 403 in
        GET  sheet_of_a       -                        in  in  403 404 404 404 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST bench_battery_of_a -                      in  in  403 422 422 404 403 403 in
        POST bench_battery_of_a battery_dated          in  in  403 302 302 404 403 403 in
        POST bench_battery_of_b battery_dated          in  in  403 404 404 302 403 403 in
        POST missing          battery_dated            in  in  403 404 404 404 403 403 in
    """,
    "vehicle_battery": """
        GET  vehicle_of_a     -                        in  in  403 200 200 404 403 403 in
        GET  vehicle_of_b     -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST vehicle_of_a     -                        in  in  403 422 422 404 403 403 in
        POST vehicle_of_a     battery_dated            in  in  403 302 302 404 403 403 in
        POST vehicle_of_a     earlier_capacity         in  in  403 302 302 404 403 403 in
        POST vehicle_of_a     take_out_of_a            in  in  403 302 302 404 403 403 in
        POST vehicle_of_a     take_out_of_b            in  in  403 404 404 404 403 403 in
        POST vehicle_of_b     take_out_of_b            in  in  403 404 404 302 403 403 in
        POST vehicle_of_b     earlier_capacity         in  in  403 404 404 302 403 403 in
        POST missing          earlier_capacity         in  in  403 404 404 404 403 403 in
    """,
    "sheet_share": """
        GET  sheet_of_a       -                        in  in  403 200 200 404 403 403 in
        GET  sheet_of_b       -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST sheet_of_a       -                        in  in  403 422 422 404 403 403 in
        POST sheet_of_a       copy_called              in  in  403 200 200 404 403 403 in
        POST sheet_of_a       copy_shared              in  in  403 302 302 404 403 403 in
        POST sheet_of_a       copy_unseen              in  in  403 409 409 404 403 403 in
        POST sheet_of_b       copy_called              in  in  403 404 404 200 403 403 in
        POST missing          copy_shared              in  in  403 404 404 404 403 403 in
    """,
    "sheet_whole": """
        GET  sheet_of_a       -                        in  in  403 200 200 404 403 403 in
        GET  sheet_of_b       -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST sheet_of_a       -                        in  in  403 405 405 405 403 403 in
    """,
    "part_sheets": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        GET  -                plate                    in  in  403 200 200 200 403 403 in
        GET  -                plate_of_nonsense        in  in  403 422 422 422 403 403 in
        POST -                -                        in  in  403 405 405 405 403 403 in
    """,
    "shared_sheets": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        GET  -                page_of_nonsense         in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 405 405 405 403 403 in
    """,
    "shared_sheet": """
        GET  copy_of_a        -                        in  in  403 200 200 200 403 403 in
        GET  copy_of_b        -                        in  in  403 200 200 200 403 403 in
        GET  copy_taken_back  -                        in  in  403 404 404 404 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST copy_of_a        -                        in  in  403 405 405 405 403 403 in
    """,
    "shared_sheet_take_back": """
        GET  copy_of_a        -                        in  in  403 405 405 405 403 403 in
        POST copy_of_a        -                        in  in  403 302 302 404 403 403 in
        POST copy_of_b        -                        in  in  403 404 404 302 403 403 in
        POST copy_taken_back  -                        in  in  403 404 404 404 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
    """,
    "record_new": """
        GET  windings_of_a    -                        in  in  403 200 200 404 403 403 in
        GET  windings_of_b    -                        in  in  403 404 404 200 403 403 in
        GET  missing_windings -                        in  in  403 404 404 404 403 403 in
        GET  no_kind_of_a     -                        in  in  403 404 404 404 403 403 in
        GET  no_kind_of_b     -                        in  in  403 404 404 404 403 403 in
        GET  windings_of_a    log_of_a                 in  in  403 200 200 404 403 403 in
        GET  windings_of_a    log_of_b                 in  in  403 404 404 404 403 403 in
        POST windings_of_a    windings_from_log_of_b   in  in  403 422 422 404 403 403 in
        GET  windings_of_a    corrects_record_of_a     in  in  403 200 200 404 403 403 in
        GET  windings_of_a    corrects_record_of_b     in  in  403 404 404 404 403 403 in
        GET  windings_of_a    corrects_missing         in  in  403 404 404 404 403 403 in
        POST windings_of_a    -                        in  in  403 422 422 404 403 403 in
        POST windings_of_a    windings                 in  in  403 302 302 404 403 403 in
        POST windings_of_b    windings                 in  in  403 404 404 302 403 403 in
        POST missing_windings windings                 in  in  403 404 404 404 403 403 in
        POST windings_of_a    windings_with_meter_of_a in  in  403 302 302 404 403 403 in
        POST windings_of_a    windings_with_meter_of_b in  in  403 422 422 404 403 403 in
        POST windings_of_a    windings_beside_b        in  in  403 422 422 404 403 403 in
    """,
    "record_judge": """
        GET  windings_of_a    -                        in  in  403 405 405 405 403 403 in
        POST windings_of_a    -                        in  in  403 200 200 404 403 403 in
        POST windings_of_a    windings                 in  in  403 200 200 404 403 403 in
        POST windings_of_b    windings                 in  in  403 404 404 200 403 403 in
        POST missing_windings windings                 in  in  403 404 404 404 403 403 in
        POST no_kind_of_a     -                        in  in  403 404 404 404 403 403 in
    """,
    "record": """
        GET  record_of_a      -                        in  in  403 200 200 404 403 403 in
        GET  record_of_b      -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST record_of_a      -                        in  in  403 405 405 405 403 403 in
    """,
    "record_share": """
        GET  record_of_a      -                        in  in  403 200 200 404 403 403 in
        GET  record_of_b      -                        in  in  403 404 404 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST record_of_a      -                        in  in  403 422 422 404 403 403 in
        POST record_of_a      figures_turned           in  in  403 200 200 404 403 403 in
        POST record_of_a      figures_shared           in  in  403 302 302 404 403 403 in
        POST record_of_a      figures_unseen           in  in  403 409 409 404 403 403 in
        POST record_of_b      figures_turned           in  in  403 404 404 200 403 403 in
        POST missing          figures_shared           in  in  403 404 404 404 403 403 in
    """,
    "references": """
        GET  -                -                        in  in  403 200 200 200 403 403 in
        GET  -                page_of_nonsense         in  in  403 200 200 200 403 403 in
        POST -                -                        in  in  403 405 405 405 403 403 in
    """,
    "reference_take_back": """
        GET  figures_of_a     -                        in  in  403 405 405 405 403 403 in
        POST figures_of_a     -                        in  in  403 302 302 404 403 403 in
        POST figures_of_b     -                        in  in  403 404 404 302 403 403 in
        POST figures_taken_back -                      in  in  403 404 404 404 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
    """,
    "verify": """
        GET  -                -                        200 200 200 200 200 200 200 200 200
        GET  -                hash_of_a                200 200 200 200 200 200 200 200 200
        GET  -                hash_of_b                200 200 200 200 200 200 200 200 200
        GET  -                hash_of_nobody           200 200 200 200 200 200 200 200 200
        GET  -                bad_hash                 422 422 422 422 422 422 422 422 422
        POST -                -                        405 405 405 405 405 405 405 405 405
    """,
    # The work
    "job": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_a            open_windings    in  in  403 200 200 404 403 403 in
        GET  finished_of_a       -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "job_family": """
        GET  job_of_a            -                in  in  403 405 405 405 403 403 in
        POST job_of_a            family_key       in  in  403 302 302 404 403 403 in
        POST job_of_a            no_family        in  in  403 302 302 404 403 403 in
        POST job_of_b            family_key       in  in  403 404 404 302 403 403 in
        POST missing             family_key       in  in  403 404 404 404 403 403 in
    """,
    "job_part": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            part             in  in  403 302 302 404 403 403 in
        POST job_of_b            part             in  in  403 404 404 302 403 403 in
        POST missing             part             in  in  403 404 404 404 403 403 in
    """,
    "entry_sign": """
        GET  cause_of_a          -                in  in  403 200 200 404 403 403 in
        GET  cause_of_b          -                in  in  403 404 404 200 403 403 in
        GET  missing_cause       -                in  in  403 404 404 404 403 403 in
        GET  no_step_of_a        -                in  in  403 404 404 404 403 403 in
        GET  no_step_of_b        -                in  in  403 404 404 404 403 403 in
        POST cause_of_a          -                in  in  403 422 422 404 403 403 in
        POST cause_of_a          words            in  in  403 302 302 404 403 403 in
        POST cause_of_b          words            in  in  403 404 404 302 403 403 in
        POST fitted_of_a         words            in  in  403 409 409 404 403 403 in
        POST cause_of_finished_a words            in  in  403 409 409 404 403 403 in
        POST missing_cause       words            in  in  403 404 404 404 403 403 in
    """,
    "car": """
        GET  car_of_a               -             200 200 200 200 200 200 200 200 200
        GET  finished_car_of_a      -             200 200 200 200 200 200 200 200 200
        GET  car_of_b               -             200 200 200 200 200 200 200 200 200
        GET  link_of_a              -             404 404 404 404 404 404 404 404 404
        GET  car_crossed            -             404 404 404 404 404 404 404 404 404
        GET  car_by_link_to_enquiry -             404 404 404 404 404 404 404 404 404
        GET  link_forged            -             404 404 404 404 404 404 404 404 404
        POST car_of_a               -             405 405 405 405 405 405 405 405 405
    """,
    "car_report": """
        GET  finished_car_of_a      -             200 200 200 200 200 200 200 200 200
        GET  finished_car_of_b      -             200 200 200 200 200 200 200 200 200
        GET  car_of_a               -             404 404 404 404 404 404 404 404 404
        GET  car_crossed            -             404 404 404 404 404 404 404 404 404
        GET  car_by_link_to_enquiry -             404 404 404 404 404 404 404 404 404
        GET  link_forged            -             404 404 404 404 404 404 404 404 404
        POST finished_car_of_a      -             405 405 405 405 405 405 405 405 405
    """,
    "car_report_pdf": """
        GET  finished_car_of_a      -             200 200 200 200 200 200 200 200 200
        GET  car_of_a               -             404 404 404 404 404 404 404 404 404
        GET  car_crossed            -             404 404 404 404 404 404 404 404 404
        GET  car_by_link_to_enquiry -             404 404 404 404 404 404 404 404 404
        GET  link_forged            -             404 404 404 404 404 404 404 404 404
        POST finished_car_of_a      -             405 405 405 405 405 405 405 405 405
    """,
    "clearance": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  finished_of_a       -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "requirement_waive": """
        GET  dry_of_a            -                in  in  403 200 200 404 403 403 in
        GET  dry_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing_dry         -                in  in  403 404 404 404 403 403 in
        GET  no_code_of_a        -                in  in  403 404 404 404 403 403 in
        POST dry_of_a            -                in  in  403 422 422 404 403 403 in
        POST dry_of_a            reason           in  in  403 302 409 404 403 403 in
        POST dry_of_b            reason           in  in  403 404 404 302 403 403 in
        POST identity_of_a       reason           in  in  403 409 409 404 403 403 in
        POST missing_dry         reason           in  in  403 404 404 404 403 403 in
    """,
    "job_disturb": """
        GET  job_of_a            -                in  in  403 405 405 405 403 403 in
        POST job_of_a            opened           in  in  403 302 302 404 403 403 in
        POST job_of_a            -                in  in  403 302 302 404 403 403 in
        POST job_of_b            opened           in  in  403 404 404 302 403 403 in
        POST missing             opened           in  in  403 404 404 404 403 403 in
    """,
    "job_kind": """
        GET  job_of_a            -                in  in  403 405 405 405 403 403 in
        POST job_of_a            machine          in  in  403 302 302 404 403 403 in
        POST job_of_a            -                in  in  403 302 302 404 403 403 in
        POST job_of_b            machine          in  in  403 404 404 302 403 403 in
        POST missing             machine          in  in  403 404 404 404 403 403 in
    """,
    "report": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  finished_of_a       -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "report_pdf": """
        GET  finished_of_a       -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    # The portal itself
    "home": """
        GET  - - in  in  302 302 302 302 302 302 in
        POST - - in  in  405 405 405 405 405 405 in
    """,
    "alive": """
        GET  - - 200 200 200 200 200 200 200 200 200
        POST - - 405 405 405 405 405 405 405 405 405
    """,
    "ready": """
        GET  - - 200 200 200 200 200 200 200 200 200
        POST - - 405 405 405 405 405 405 405 405 405
    """,
    "schema": """
        GET  - - 200 200 200 200 200 200 200 200 200
        POST - - 405 405 405 405 405 405 405 405 405
    """,
    "docs": """
        GET  - - 200 200 200 200 200 200 200 200 200
        POST - - 405 405 405 405 405 405 405 405 405
    """,
} | ELSEWHERE
