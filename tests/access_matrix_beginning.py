"""The rows of `tests/access_matrix.py` for the beginning of a job: enquiries, booking in, trouble codes."""

BEGINNING: dict[str, str] = {
    "enquire": """
        GET  workshop_of_a       -                200 200 200 200 200 200 200 200 200
        GET  workshop_suspended  -                404 404 404 404 404 404 404 404 404
        GET  workshop_waiting    -                404 404 404 404 404 404 404 404 404
        GET  missing             -                404 404 404 404 404 404 404 404 404
        POST workshop_of_a       -                422 422 422 422 422 422 422 422 422
        POST workshop_of_a       enquiry          302 302 302 302 302 302 302 302 302
        POST workshop_suspended  enquiry          404 404 404 404 404 404 404 404 404
        POST missing             enquiry          404 404 404 404 404 404 404 404 404
    """,
    "enquiry_private": """
        GET  link_of_a           -                200 200 200 200 200 200 200 200 200
        GET  link_of_b           -                200 200 200 200 200 200 200 200 200
        GET  link_forged         -                404 404 404 404 404 404 404 404 404
        GET  link_crossed        -                404 404 404 404 404 404 404 404 404
        GET  link_void           -                404 404 404 404 404 404 404 404 404
        GET  link_of_no_workshop -                404 404 404 404 404 404 404 404 404
        POST link_of_a           -                302 302 302 302 302 302 302 302 302
        POST withdrawn_link_of_a -                302 302 302 302 302 302 302 302 302
        POST link_of_a           withdraw         302 302 302 302 302 302 302 302 302
        POST link_of_a           agree            302 302 302 302 302 302 302 302 302
        POST link_of_a           choose           302 302 302 302 302 302 302 302 302
        POST link_forged         -                404 404 404 404 404 404 404 404 404
    """,
    "enquiry_picture": """
        GET  photo_of_link_a     -                200 200 200 200 200 200 200 200 200
        GET  photo_of_b_by_a     -                404 404 404 404 404 404 404 404 404
        GET  link_forged_photo   -                404 404 404 404 404 404 404 404 404
        POST photo_of_link_a     -                405 405 405 405 405 405 405 405 405
    """,
    "enquiry_pass_on": """
        GET  enquiry_of_a        -                in  in  403 405 405 405 403 403 in
        POST enquiry_of_a        -                in  in  403 302 302 404 403 403 in
        POST enquiry_of_a        to_b             in  in  403 302 302 404 403 403 in
        POST enquiry_of_b        to_b             in  in  403 404 404 302 403 403 in
        POST missing             to_b             in  in  403 404 404 404 403 403 in
    """,
    "enquiry": """
        GET  enquiry_of_a        -                in  in  403 200 200 404 403 403 in
        GET  enquiry_of_b        -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST enquiry_of_a        -                in  in  403 422 422 404 403 403 in
        POST enquiry_of_a        reply            in  in  403 302 302 404 403 403 in
        POST enquiry_of_b        reply            in  in  403 404 404 302 403 403 in
        POST withdrawn_of_a      reply            in  in  403 409 409 404 403 403 in
        POST missing             reply            in  in  403 404 404 404 403 403 in
    """,
    "job_from_enquiry": """
        GET  enquiry_of_a        -                in  in  403 200 200 404 403 403 in
        GET  enquiry_of_b        -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST enquiry_of_a        -                in  in  403 422 422 404 403 403 in
        POST enquiry_of_a        booking          in  in  403 302 302 404 403 403 in
        POST enquiry_of_b        booking          in  in  403 404 404 302 403 403 in
        POST withdrawn_of_a      booking          in  in  403 409 409 404 403 403 in
        POST missing             booking          in  in  403 404 404 404 403 403 in
    """,
    "bays": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 422 422 422 403 403 in
        POST -                   bay_named        in  in  403 302 302 302 403 403 in
    """,
    "bay": """
        GET  empty_bay_of_a      -                in  in  403 200 200 404 403 403 in
        GET  taken_bay_of_a      -                in  in  403 302 302 404 403 403 in
        GET  taken_bay_of_b      -                in  in  403 404 404 302 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST empty_bay_of_a      -                in  in  403 422 422 404 403 403 in
        POST empty_bay_of_a      stands_job_of_a  in  in  403 302 302 404 403 403 in
        POST empty_bay_of_a      stands_job_of_b  in  in  403 422 422 404 403 403 in
        POST empty_bay_of_b      stands_job_of_b  in  in  403 404 404 302 403 403 in
        POST missing             stands_job_of_a  in  in  403 404 404 404 403 403 in
    """,
    "bay_clear": """
        GET  taken_bay_of_a      -                in  in  403 405 405 405 403 403 in
        POST taken_bay_of_a      -                in  in  403 302 302 404 403 403 in
        POST empty_bay_of_a      -                in  in  403 302 302 404 403 403 in
        POST taken_bay_of_b      -                in  in  403 404 404 302 403 403 in
        POST missing             -                in  in  403 404 404 404 403 403 in
    """,
    "labels": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        GET  -                   labels_of_a      in  in  403 200 200 422 403 403 in
        GET  -                   labels_of_b      in  in  403 422 422 200 403 403 in
        POST -                   -                in  in  403 405 405 405 403 403 in
    """,
    "job_new": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 422 422 422 403 403 in
        POST -                   booking          in  in  403 302 302 302 403 403 in
    """,
    "job_change": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            change           in  in  403 302 302 404 403 403 in
        POST job_of_a            change_unseen    in  in  403 409 409 404 403 403 in
        POST job_of_b            change           in  in  403 404 404 302 403 403 in
        POST missing             change           in  in  403 404 404 404 403 403 in
    """,
    "job_quarantine": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 200 200 404 403 403 in
        POST job_of_a            temperature      in  in  403 302 302 404 403 403 in
        POST job_of_a            end_quarantine   in  in  403 409 409 404 403 403 in
        POST job_of_b            temperature      in  in  403 404 404 302 403 403 in
        POST missing             temperature      in  in  403 404 404 404 403 403 in
    """,
    "job_codes": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            codes            in  in  403 302 302 404 403 403 in
        POST job_of_b            codes            in  in  403 404 404 302 403 403 in
        POST missing             codes            in  in  403 404 404 404 403 403 in
    """,
    "code_note": """
        GET  code_of_a           -                in  in  403 200 200 404 403 403 in
        GET  code_of_b           -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST code_of_a           code_words       in  in  403 302 302 404 403 403 in
        POST code_of_b           code_words       in  in  403 404 404 302 403 403 in
        POST missing             code_words       in  in  403 404 404 404 403 403 in
    """,
    "job_safe": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 200 200 404 403 403 in
        POST job_of_a            step_unsigned    in  in  403 422 422 404 403 403 in
        POST job_of_a            step_of_a        in  in  403 409 409 404 403 403 in
        POST job_of_a            step_by_b        in  in  403 422 422 404 403 403 in
        POST job_of_b            step_of_a        in  in  403 404 404 422 403 403 in
        POST missing             step_of_a        in  in  403 404 404 404 403 403 in
    """,
    "job_state": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            state_of_a       in  in  403 302 302 404 403 403 in
        POST job_of_b            state_of_a       in  in  403 404 404 422 403 403 in
        POST missing             state_of_a       in  in  403 404 404 404 403 403 in
    """,
    "signing_code": """
        GET  -                   -                in  in  403 200 200 200 403 403 in
        POST -                   -                in  in  403 422 422 422 403 403 in
        POST -                   easy_code        in  in  403 422 422 422 403 403 in
        POST -                   new_code         in  in  403 302 302 302 403 403 in
    """,
    "job_cause": """
        GET  job_of_a            -                in  in  403 200 200 404 403 403 in
        GET  job_of_b            -                in  in  403 404 404 200 403 403 in
        GET  missing             -                in  in  403 404 404 404 403 403 in
        POST job_of_a            -                in  in  403 422 422 404 403 403 in
        POST job_of_a            cause            in  in  403 302 302 404 403 403 in
        POST job_of_a            cause_unseen     in  in  403 409 409 404 403 403 in
        POST job_of_a            cause_draft      in  in  403 302 302 404 403 403 in
        POST job_of_a            cause_by_b       in  in  403 422 422 404 403 403 in
        POST finished_of_a       cause_first      in  in  403 409 409 404 403 403 in
        POST job_of_b            cause            in  in  403 404 404 302 403 403 in
        POST missing             cause            in  in  403 404 404 404 403 403 in
    """,
    "photo_marks": """
        GET  photo_of_job_a      -                in  in  403 200 200 404 403 403 in
        GET  photo_of_job_b      -                in  in  403 404 404 200 403 403 in
        GET  foreign_photo       -                in  in  403 404 404 404 403 403 in
        GET  missing_photo       -                in  in  403 404 404 404 403 403 in
        POST photo_of_job_a      -                in  in  403 422 422 404 403 403 in
        POST photo_of_job_a      mark             in  in  403 302 302 404 403 403 in
        POST photo_of_job_b      mark             in  in  403 404 404 302 403 403 in
        POST missing_photo       mark             in  in  403 404 404 404 403 403 in
    """,
}
