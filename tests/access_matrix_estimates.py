"""The rows of `tests/access_matrix.py` for estimates: the workshop's pages, and the owner's by their link."""

ESTIMATES: dict[str, str] = {
    "job_estimate": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 302 302 404 403 403 in
        POST finished_of_a       -                in  in  403 302 302 404 403 403 in
        POST job_of_b            -                in  in  403 404 404 302 403 403 in
        POST missing             -                in  in  403 404 404 404 403 403 in
    """,
    "estimate": """
        GET  agreed_of_a         -                in  in  403 200 200 404 403 403 in
        GET  waiting_of_a        -                in  in  403 200 200 404 403 403 in
        GET  draft_of_a          -                in  in  403 200 200 404 403 403 in
        GET  draft_of_a          estimate_ready   in  in  403 200 200 404 403 403 in
        GET  agreed_of_b         -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST draft_of_a          -                in  in  403 422 422 404 403 403 in
        POST draft_of_a          estimate_kept    in  in  403 302 302 404 403 403 in
        POST draft_of_a          estimate_unseen  in  in  403 409 409 404 403 403 in
        POST draft_of_a          estimate_send    in  in  403 302 302 404 403 403 in
        POST draft_of_a          estimate_drop    in  in  403 302 302 404 403 403 in
        POST agreed_of_a         estimate_kept    in  in  403 409 409 404 403 403 in
        POST agreed_of_a         estimate_drop    in  in  403 302 302 404 403 403 in
        POST waiting_of_a        estimate_back    in  in  403 302 302 404 403 403 in
        POST draft_of_b          estimate_kept    in  in  403 404 404 302 403 403 in
        POST missing             estimate_kept    in  in  403 404 404 404 403 403 in
    """,
    "job_used": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST finished_of_a       used_lines       in  in  403 302 302 404 403 403 in
        POST job_of_a            used_unseen      in  in  403 409 409 404 403 403 in
        POST finished_of_b       used_lines       in  in  403 404 404 302 403 403 in
        POST missing             used_lines       in  in  403 404 404 404 403 403 in
    """,
    "job_lines_csv": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "job_lines_xlsx": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 405 405 405 403 403 in
    """,
    "car_estimate": """
        GET  car_agreed_of_a     -                200 200 200 200 200 200 200 200 200
        GET  car_waiting_of_a    -                200 200 200 200 200 200 200 200 200
        GET  car_draft_of_a      -                404 404 404 404 404 404 404 404 404
        GET  link_forged_estimate -                404 404 404 404 404 404 404 404 404
        GET  car_estimate_crossed -               404 404 404 404 404 404 404 404 404
        POST car_waiting_of_a    -                422 422 422 422 422 422 422 422 422
        POST car_waiting_of_a    answer_unseen    409 409 409 409 409 409 409 409 409
        POST car_waiting_of_a    answer_seen      302 302 302 302 302 302 302 302 302
        POST car_agreed_of_a     answer_seen      409 409 409 409 409 409 409 409 409
        POST car_draft_of_a      answer_seen      404 404 404 404 404 404 404 404 404
        POST link_forged_estimate answer_seen      404 404 404 404 404 404 404 404 404
    """,
}
