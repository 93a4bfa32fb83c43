"""The part of the table for the sourcing board; how a row reads stands in `tests/access_matrix.py`."""

BOARD: dict[str, str] = {
    "board": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        GET  -                      page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 405 405 405 403 403 in
    """,
    "request_new": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 422 422 422 403 403 in
        POST -                      part             in  in  403 302 302 302 403 403 in
    """,
    "request": """
        GET  request_of_a           -                in  in  403 200 200 200 403 403 in
        GET  request_of_b           -                in  in  403 200 200 200 403 403 in
        GET  quiet_request_of_a     -                in  in  403 200 200 404 403 403 in
        GET  quiet_request_of_b     -                in  in  403 404 404 200 403 403 in
        GET  accepted_request_of_a  -                in  in  403 200 200 200 403 403 in
        GET  missing                -                in  in  403 404 404 404 403 403 in
        POST request_of_a           -                in  in  403 405 405 405 403 403 in
    """,
    "answer_new": """
        GET  fresh_request_of_a     -                in  in  403 200 200 200 403 403 in
        GET  fresh_request_of_b     -                in  in  403 200 200 200 403 403 in
        GET  quiet_request_of_b     -                in  in  403 404 404 200 403 403 in
        GET  missing                -                in  in  403 404 404 404 403 403 in
        POST fresh_request_of_b     -                in  in  403 422 422 422 403 403 in
        POST fresh_request_of_b     offer            in  in  403 302 302 409 403 403 in
        POST fresh_request_of_a     offer            in  in  403 409 409 302 403 403 in
        POST request_of_b           offer            in  in  403 409 409 409 403 403 in
        POST accepted_request_of_b  offer            in  in  403 409 409 409 403 403 in
        POST quiet_request_of_b     offer            in  in  403 404 404 409 403 403 in
        POST missing                offer            in  in  403 404 404 404 403 403 in
    """,
    "request_prolong": """
        GET  request_of_a           -                in  in  403 405 405 405 403 403 in
        POST request_of_a           -                in  in  403 302 302 404 403 403 in
        POST lapsed_request_of_a    -                in  in  403 302 302 404 403 403 in
        POST request_of_b           -                in  in  403 404 404 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "question_new": """
        GET  request_of_a           -                in  in  403 405 405 405 403 403 in
        POST request_of_a           -                in  in  403 422 422 422 403 403 in
        POST request_of_a           question         in  in  403 302 302 302 403 403 in
        POST request_of_a           reply_to_nothing in  in  403 404 404 404 403 403 in
        POST quiet_request_of_b     question         in  in  403 404 404 302 403 403 in
        POST lapsed_request_of_a    question         in  in  403 409 409 409 403 403 in
        POST missing                question         in  in  403 404 404 404 403 403 in
    """,
    "answer_send": """
        GET  taken_answer_of_b_to_a -                in  in  403 405 405 405 403 403 in
        POST taken_answer_of_b_to_a -                in  in  403 422 422 422 403 403 in
        POST taken_answer_of_b_to_a sent             in  in  403 409 409 302 403 403 in
        POST taken_answer_of_a_to_b sent             in  in  403 302 302 409 403 403 in
        POST answer_of_b_to_a       sent             in  in  403 409 409 409 403 403 in
        POST answer_of_b_to_c       sent             in  in  403 404 404 409 403 403 in
        POST missing                sent             in  in  403 404 404 404 403 403 in
    """,
    "core_send": """
        GET  received_answer_of_b_to_a -             in  in  403 405 405 405 403 403 in
        POST received_answer_of_b_to_a -             in  in  403 422 422 422 403 403 in
        POST received_answer_of_b_to_a sent          in  in  403 302 302 409 403 403 in
        POST core_sent_answer_of_b_to_a sent         in  in  403 409 409 409 403 403 in
        POST taken_answer_of_b_to_a sent             in  in  403 409 409 409 403 403 in
        POST answer_of_b_to_c       sent             in  in  403 404 404 409 403 403 in
        POST missing                sent             in  in  403 404 404 404 403 403 in
    """,
    "core_receive": """
        GET  core_sent_answer_of_b_to_a -            in  in  403 405 405 405 403 403 in
        POST core_sent_answer_of_b_to_a -            in  in  403 422 422 422 403 403 in
        POST core_sent_answer_of_b_to_a core         in  in  403 409 409 302 403 403 in
        POST core_seen_answer_of_b_to_a core         in  in  403 409 409 409 403 403 in
        POST answer_of_b_to_c       core             in  in  403 404 404 409 403 403 in
        POST missing                core             in  in  403 404 404 404 403 403 in
    """,
    "deposit_settle": """
        GET  core_seen_answer_of_b_to_a -            in  in  403 405 405 405 403 403 in
        POST core_seen_answer_of_b_to_a -            in  in  403 422 422 422 403 403 in
        POST core_seen_answer_of_b_to_a deposit      in  in  403 409 409 302 403 403 in
        POST core_sent_answer_of_b_to_a deposit      in  in  403 409 409 409 403 403 in
        POST answer_of_b_to_c       deposit          in  in  403 404 404 404 403 403 in
        POST missing                deposit          in  in  403 404 404 404 403 403 in
    """,
    "shelf": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        GET  -                      page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 422 422 422 403 403 in
    """,
    "shelf_columns": """
        GET  shelf_upload_of_a      -                in  in  403 200 200 404 403 403 in
        POST shelf_upload_of_a      -                in  in  403 422 422 404 403 403 in
        POST shelf_upload_of_a      columns          in  in  403 302 302 404 403 403 in
        POST shelf_upload_of_b      columns          in  in  403 404 404 302 403 403 in
        POST missing                columns          in  in  403 404 404 404 403 403 in
    """,
    "shelf_csv": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 405 405 405 403 403 in
    """,
    "shelf_clear": """
        GET  -                      -                in  in  403 405 405 405 403 403 in
        POST -                      -                in  in  403 302 302 302 403 403 in
    """,
    "watches": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 422 422 422 403 403 in
        POST -                      watch            in  in  403 302 302 302 403 403 in
    """,
    "watch_stop": """
        GET  watch_of_a             -                in  in  403 405 405 405 403 403 in
        POST watch_of_a             -                in  in  403 302 404 404 403 403 in
        POST watch_of_b             -                in  in  403 404 404 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "border_rates": """
        GET  -                      -                in  in  403 403 403 403 403 200 in
        GET  -                      page_of_nonsense in  in  403 403 403 403 403 200 in
        POST -                      -                in  in  403 403 403 403 403 422 in
        POST -                      border_rate      in  in  403 403 403 403 403 302 in
    """,
    "answer_accept": """
        GET  answer_of_b_to_a       -                in  in  403 405 405 405 403 403 in
        POST answer_of_b_to_a       -                in  in  403 302 302 404 403 403 in
        POST answer_of_a_to_b       -                in  in  403 404 404 302 403 403 in
        POST answer_of_b_to_c       -                in  in  403 404 404 404 403 403 in
        POST taken_answer_of_b_to_a -                in  in  403 409 409 404 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "answer_withdraw": """
        GET  answer_of_a_to_b       -                in  in  403 405 405 405 403 403 in
        POST answer_of_a_to_b       -                in  in  403 302 302 404 403 403 in
        POST answer_of_b_to_a       -                in  in  403 404 404 302 403 403 in
        POST answer_of_b_to_c       -                in  in  403 404 404 302 403 403 in
        POST taken_answer_of_a_to_b -                in  in  403 302 302 404 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "request_receive": """
        GET  accepted_request_of_a  -                in  in  403 405 405 405 403 403 in
        POST accepted_request_of_a  -                in  in  403 422 422 404 403 403 in
        POST accepted_request_of_a  receipt          in  in  403 302 302 404 403 403 in
        POST accepted_request_of_b  receipt          in  in  403 404 404 302 403 403 in
        POST request_of_a           receipt          in  in  403 409 409 404 403 403 in
        POST quiet_request_of_b     receipt          in  in  403 404 404 409 403 403 in
        POST missing                receipt          in  in  403 404 404 404 403 403 in
    """,
    "request_withdraw": """
        GET  request_of_a           -                in  in  403 405 405 405 403 403 in
        POST request_of_a           -                in  in  403 302 302 404 403 403 in
        POST request_of_b           -                in  in  403 404 404 302 403 403 in
        POST accepted_request_of_a  -                in  in  403 302 302 404 403 403 in
        POST quiet_request_of_b     -                in  in  403 404 404 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
}
