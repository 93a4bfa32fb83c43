"""The rows of `tests/access_matrix.py` for part numbers, which all members share."""

NUMBERS: dict[str, str] = {
    "numbers": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        GET  -                      page_of_nonsense in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 405 405 405 403 403 in
    """,
    "number_new": """
        GET  -                      -                in  in  403 200 200 200 403 403 in
        POST -                      -                in  in  403 422 422 422 403 403 in
        POST -                      number           in  in  403 302 302 302 403 403 in
    """,
    "number": """
        GET  number                 -                in  in  403 200 200 200 403 403 in
        GET  missing                -                in  in  403 404 404 404 403 403 in
        POST number                 -                in  in  403 405 405 405 403 403 in
    """,
    "number_families": """
        GET  number                 -                in  in  403 405 405 405 403 403 in
        POST number                 -                in  in  403 422 422 422 403 403 in
        POST number                 fits             in  in  403 302 302 302 403 403 in
        POST missing                fits             in  in  403 404 404 404 403 403 in
    """,
    "number_correct": """
        GET  number                 -                in  in  403 200 200 200 403 403 in
        POST number                 -                in  in  403 422 422 422 403 403 in
        POST number                 correction       in  in  403 409 409 409 403 403 in
        POST missing                correction       in  in  403 404 404 404 403 403 in
    """,
    "revision_correct": """
        GET  revision_of_a          -                in  in  403 200 200 404 403 403 in
        POST revision_of_a          -                in  in  403 422 422 404 403 403 in
        POST revision_of_a          revision_right   in  in  403 409 409 404 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "revision_confirm": """
        GET  revision_of_a          -                in  in  403 405 405 405 403 403 in
        POST revision_of_a          -                in  in  403 302 302 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "revision_new": """
        GET  number                 -                in  in  403 200 200 200 403 403 in
        POST number                 -                in  in  403 422 422 422 403 403 in
        POST number                 revision         in  in  403 302 302 302 403 403 in
        POST missing                revision         in  in  403 404 404 404 403 403 in
    """,
    "supply_new": """
        GET  number                 -                in  in  403 200 200 200 403 403 in
        POST number                 -                in  in  403 422 422 422 403 403 in
        POST number                 supply           in  in  403 302 302 302 403 403 in
        POST missing                supply           in  in  403 404 404 404 403 403 in
    """,
    "supersession_new": """
        GET  number                 -                in  in  403 200 200 200 403 403 in
        POST number                 -                in  in  403 422 422 422 403 403 in
        POST number                 supersession     in  in  403 302 302 302 403 403 in
        POST missing                supersession     in  in  403 404 404 404 403 403 in
    """,
    "supersession_confirm": """
        GET  statement_of_a         -                in  in  403 405 405 405 403 403 in
        POST statement_of_a         -                in  in  403 302 302 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "supersession_dispute": """
        GET  statement_of_a         -                in  in  403 200 200 200 403 403 in
        POST statement_of_a         -                in  in  403 422 422 422 403 403 in
        POST statement_of_a         dispute          in  in  403 409 409 302 403 403 in
        POST disputed_of_b          dispute          in  in  403 409 409 409 403 403 in
        POST missing                dispute          in  in  403 404 404 404 403 403 in
    """,
    "supersession_lift": """
        GET  disputed_of_b          -                in  in  403 405 405 405 403 403 in
        POST disputed_of_b          -                in  in  403 302 302 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
    "supersession_take_back": """
        GET  statement_of_b         -                in  in  403 405 405 405 403 403 in
        POST statement_of_b         -                in  in  403 302 302 302 403 403 in
        POST missing                -                in  in  403 404 404 404 403 403 in
    """,
}
