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
from tests.access_matrix_measuring import MEASURING
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
    ACCOUNTS | BEGINNING | BOARD | ESTIMATES | MEASURING | NUMBERS | OUTCOMES | PROGRAMS
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
    "paper_new": """
        GET  -                        -                  in  in  403 403 200 403 403 403 in
        POST -                        -                  in  in  403 403 422 403 403 403 in
        POST -                        paper              in  in  403 403 302 403 403 403 in
    """,
    "paper_decide": """
        GET  paper_claimed            -                  in  in  403 403 403 403 403 200 in
        GET  missing                  -                  in  in  403 403 403 403 403 404 in
        POST paper_claimed            -                  in  in  403 403 403 403 403 422 in
        POST paper_claimed            paper_seen         in  in  403 403 403 403 403 302 in
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
        GET  step_of_a          -                in  in  403 200 200 404 403 403 in
        GET  step_of_b          -                in  in  403 404 404 200 403 403 in
        GET  missing_step       -                in  in  403 404 404 404 403 403 in
        GET  no_step_of_a        -                in  in  403 404 404 404 403 403 in
        GET  no_step_of_b        -                in  in  403 404 404 404 403 403 in
        GET  cause_of_a         -                in  in  403 302 302 404 403 403 in
        POST step_of_a          -                in  in  403 422 422 404 403 403 in
        POST step_of_a          words            in  in  403 302 302 404 403 403 in
        POST step_of_b          words            in  in  403 404 404 302 403 403 in
        POST fitted_of_a         words            in  in  403 409 409 404 403 403 in
        POST step_of_finished_a words            in  in  403 409 409 404 403 403 in
        POST missing_step       words            in  in  403 404 404 404 403 403 in
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
    "job_list": """
        GET  fitting_of_a        -                in  in  403 200 200 404 403 403 in
        GET  fitting_of_b        -                in  in  403 404 404 200 403 403 in
        GET  missing_fitting     -                in  in  403 404 404 404 403 403 in
        GET  no_stage_of_a       -                in  in  403 404 404 404 403 403 in
        POST fitting_of_a        -                in  in  403 422 422 404 403 403 in
        POST fitting_of_a        draft            in  in  403 302 302 404 403 403 in
        POST fitting_of_a        coded            in  in  403 409 409 404 403 403 in
        POST fitting_of_b        coded            in  in  403 404 404 409 403 403 in
    """,
    "work_lists": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "work_list": """
        GET  list_of_fitting     -                in  in  403 200 200 200 403 403 in
        GET  no_list             -                in  in  403 404 404 404 403 403 in
        POST list_of_fitting     -                in  in  403 422 422 422 403 403 in
        POST list_of_fitting     listed_step      in  in  403 302 302 302 403 403 in
    """,
    "work_list_change": """
        GET  list_of_fitting     -                in  in  403 405 405 405 403 403 in
        POST list_of_fitting     -                in  in  403 302 302 302 403 403 in
        POST list_of_fitting     coded_up         in  in  403 302 302 302 403 403 in
        POST no_list             coded_up         in  in  403 404 404 404 403 403 in
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
