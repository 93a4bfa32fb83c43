"""Rows of the table of `tests/access_matrix.py` for outcomes, follow-ups, and what a workshop's people open first."""

OUTCOMES: dict[str, str] = {
    "outcome_share": """
        GET  finished_of_a       -                in  in  403 200 200 404 403 403 in
        GET  finished_of_b       -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST finished_of_a       -                in  in  403 422 422 404 403 403 in
        POST finished_of_a       outcome          in  in  403 200 200 404 403 403 in
        POST finished_of_a       outcome_shared   in  in  403 302 302 404 403 403 in
        POST job_of_a            outcome_shared   in  in  403 409 409 404 403 403 in
        POST finished_of_b       outcome_shared   in  in  403 404 404 302 403 403 in
        POST missing             outcome_shared   in  in  403 404 404 404 403 403 in
    """,
    "outcomes": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "outcome": """
        GET  outcome_of_a        -                in  in  403 200 200 200 403 403 in
        GET  outcome_of_b        -                in  in  403 200 200 200 403 403 in
        GET  taken_back_of_a     -                in  in  403 404 404 404 403 403 in
        GET  taken_back_of_b     -                in  in  403 404 404 404 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST outcome_of_a        -                in  in  403 405 405 405 403 403 in
    """,
    "outcome_take_back": """
        GET  outcome_of_a        -                in  in  403 405 405 405 403 403 in
        POST outcome_of_a        -                in  in  403 302 302 404 403 403 in
        POST outcome_of_b        -                in  in  403 404 404 302 403 403 in
        POST taken_back_of_a     -                in  in  403 404 404 404 403 403 in
        POST taken_back_of_b     -                in  in  403 404 404 404 403 403 in
        POST missing             -                in  in  403 404 404 404 403 403 in
    """,
    "outcomes_lasting": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "outcome_earlier": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 422 422 422 403 403 in
        POST -                   earlier          in  in  403 200 200 200 403 403 in
        POST -                   earlier_shared   in  in  403 302 302 302 403 403 in
    """,
    "outcome_stands": """
        GET  outcome_of_a        -                in  in  403 200 200 404 403 403 in
        GET  outcome_of_b        -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST outcome_of_a        -                in  in  403 422 422 404 403 403 in
        POST outcome_of_a        stands           in  in  403 302 302 404 403 403 in
        POST outcome_of_a        stands_tomorrow  in  in  403 422 422 404 403 403 in
        POST taken_back_of_a     stands           in  in  403 409 409 404 403 403 in
        POST outcome_of_b        stands           in  in  403 404 404 302 403 403 in
        POST missing             stands           in  in  403 404 404 404 403 403 in
    """,
    "follow_up": """
        GET  follow_up_of_a      -                in  in  403 200 200 404 403 403 in
        GET  follow_up_of_b      -                in  in  403 404 404 200 403 403 in
        GET  said_of_a           -                in  in  403 404 404 404 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST follow_up_of_a      -                in  in  403 422 422 404 403 403 in
        POST follow_up_of_a      stands           in  in  403 302 302 404 403 403 in
        POST follow_up_of_b      stands           in  in  403 404 404 302 403 403 in
        POST missing             stands           in  in  403 404 404 404 403 403 in
    """,
    "follow_up_take_back": """
        GET  said_of_a           -                in  in  403 405 405 405 403 403 in
        POST said_of_a           -                in  in  403 302 302 404 403 403 in
        POST follow_up_of_a      -                in  in  403 404 404 404 403 403 in
        POST said_of_b           -                in  in  403 404 404 302 403 403 in
        POST missing             -                in  in  403 404 404 404 403 403 in
    """,
    "outcome_opinion": """
        GET  outcome_of_b        -                in  in  403 200 200 200 403 403 in
        GET  taken_back_of_b     -                in  in  403 404 404 404 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST outcome_of_b        -                in  in  403 422 422 422 403 403 in
        POST outcome_of_b        opinion          in  in  403 302 302 409 403 403 in
        POST outcome_of_a        opinion          in  in  403 409 409 302 403 403 in
        POST missing             opinion          in  in  403 404 404 404 403 403 in
    """,
    "outcomes_to_judge": """
        GET  -                   -                in  in  403 403 403 403 403 200 in
        GET  -                   page_of_nonsense in  in  403 403 403 403 403 200 in
        POST -                   -                in  in  403 403 403 403 403 405 in
    """,
    "outcome_take_down": """
        GET  outcome_of_a        -                in  in  403 403 403 403 403 200 in
        GET  taken_back_of_a     -                in  in  403 403 403 403 403 404 in
        GET  missing             -                in  in  403 403 403 403 403 404 in
        POST outcome_of_a        -                in  in  403 403 403 403 403 422 in
        POST outcome_of_a        take_down        in  in  403 403 403 403 403 302 in
        POST missing             take_down        in  in  403 403 403 403 403 404 in
    """,
    "job_ways": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_a            ways             in  in  403 200 200 404 403 403 in
        GET  job_of_a            ways_of_nonsense in  in  403 422 422 404 403 403 in
        GET  job_of_b            ways             in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "jobs": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "waiting": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "jobs_csv": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "follow_ups": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "second_look_new": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            ask_b            in  in  403 200 200 404 403 403 in
        POST job_of_a            ask_b_now        in  in  403 302 302 404 403 403 in
        POST job_of_b            ask_b_now        in  in  403 404 404 422 403 403 in
        POST missing             ask_b_now        in  in  403 404 404 404 403 403 in
    """,
    "second_look": """
        GET  look_of_a_by_b      -                in  in  403 200 200 200 403 403 in
        GET  look_of_a_by_c      -                in  in  403 200 200 404 403 403 in
        GET  look_of_b_by_c      -                in  in  403 404 404 200 403 403 in
        GET  lapsed_of_a_by_b    -                in  in  403 200 200 410 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST look_of_a_by_b      -                in  in  403 422 422 422 403 403 in
        POST look_of_a_by_b      words            in  in  403 409 409 302 403 403 in
        POST lapsed_of_a_by_b    words            in  in  403 409 409 410 403 403 in
        POST look_of_b_by_c      words            in  in  403 404 404 409 403 403 in
        POST missing             words            in  in  403 404 404 404 403 403 in
    """,
}
