"""The rows of `tests/access_matrix.py` for the addresses of allauth: signing up and in, passwords, second factors.

The applicant, the manager and the administrator have a second factor, the others have none. An address or a name that
is known gets the same answer as one that isn't, so that nobody learns who is a member.
"""

ACCOUNTS: dict[str, str] = {
    "account_login": """
        GET  -              -               200 200 302 302 302 302 302 302 200
        POST -              -               200 200 302 302 302 302 302 302 200
        POST -              right_password  302 302 302 302 302 302 302 302 302
        POST -              wrong_password  200 200 302 302 302 302 302 302 200
        POST -              unknown_person  200 200 302 302 302 302 302 302 200
        POST -              inactive_person 302 302 302 302 302 302 302 302 302
    """,
    "account_logout": """
        GET  -              -               302 302 200 200 200 200 200 200 302
        POST -              -               302 302 302 302 302 302 302 302 302
    """,
    "account_inactive": """
        GET  -              -               200 200 200 200 200 200 200 200 200
        POST -              -               405 405 405 405 405 405 405 405 405
    """,
    "account_signup": """
        GET  -              -               200 200 302 302 302 302 302 302 200
        POST -              -               200 200 302 302 302 302 302 302 200
        POST -              new_person      302 302 302 302 302 302 302 302 302
        POST -              known_person    302 302 302 302 302 302 302 302 302
        POST -              short_password  200 200 302 302 302 302 302 302 200
    """,
    "account_reauthenticate": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  200 200 200 200 200 200 in
    """,
    "account_email": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "account_email_verification_sent": """
        GET  -              -               200 200 200 200 200 200 200 200 200
        POST -              -               405 405 405 405 405 405 405 405 405
    """,
    "account_change_password": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  200 200 200 200 200 200 in
    """,
    "account_set_password": """
        GET  -              -               in  in  302 302 302 302 302 302 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "account_reset_password": """
        GET  -              -               200 200 200 200 200 200 200 200 200
        POST -              -               200 200 200 200 200 200 200 200 200
        POST -              known_address   302 302 302 302 302 302 302 302 302
        POST -              unknown_address 302 302 302 302 302 302 302 302 302
    """,
    "account_confirm_login_code": """
        GET  -              -               in  in  302 302 302 302 302 302 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "account_confirm_email": """
        GET  key_forged     -               200 200 200 200 200 200 200 200 200
        POST key_forged     -               404 404 404 404 404 404 404 404 404
    """,
    "account_reset_password_from_key_done": """
        GET  -              -               200 200 200 200 200 200 200 200 200
        POST -              -               405 405 405 405 405 405 405 405 405
    """,
    "account_reset_password_from_key": """
        GET  reset_forged   -               200 200 200 200 200 200 200 200 200
        POST reset_forged   -               200 200 200 200 200 200 200 200 200
    """,
    "account_reset_password_done": """
        GET  -              -               200 200 200 200 200 200 200 200 200
        POST -              -               405 405 405 405 405 405 405 405 405
    """,
    "mfa_index": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  405 405 405 405 405 405 in
    """,
    "mfa_authenticate": """
        GET  -              -               in  in  302 302 302 302 302 302 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "mfa_reauthenticate": """
        GET  -              -               in  in  200 302 200 302 302 200 in
        POST -              -               in  in  200 302 200 302 302 200 in
    """,
    "mfa_activate_totp": """
        GET  -              -               in  in  302 200 302 200 200 302 in
        POST -              -               in  in  302 200 302 200 200 302 in
    """,
    "mfa_deactivate_totp": """
        GET  -              -               in  in  200 404 200 404 404 200 in
        POST -              -               in  in  302 404 302 404 404 302 in
    """,
    "mfa_view_recovery_codes": """
        GET  -              -               in  in  404 404 404 404 404 404 in
        POST -              -               in  in  405 405 405 405 405 405 in
    """,
    "mfa_generate_recovery_codes": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  302 200 302 200 200 302 in
    """,
    "mfa_download_recovery_codes": """
        GET  -              -               in  in  404 404 404 404 404 404 in
        POST -              -               in  in  404 404 404 404 404 404 in
    """,
    "mfa_list_webauthn": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  405 405 405 405 405 405 in
    """,
    "mfa_add_webauthn": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  200 200 200 200 200 200 in
    """,
    "mfa_reauthenticate_webauthn": """
        GET  -              -               in  in  302 302 302 302 302 302 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "mfa_remove_webauthn": """
        GET  key_of_another -               in  in  404 404 404 404 404 404 in
        POST key_of_another -               in  in  404 404 404 404 404 404 in
        GET  missing        -               in  in  404 404 404 404 404 404 in
        POST missing        -               in  in  404 404 404 404 404 404 in
    """,
    "mfa_edit_webauthn": """
        GET  key_of_another -               in  in  404 404 404 404 404 404 in
        POST key_of_another -               in  in  404 404 404 404 404 404 in
        GET  missing        -               in  in  404 404 404 404 404 404 in
        POST missing        -               in  in  404 404 404 404 404 404 in
    """,
    "mfa_login_webauthn": """
        GET  -              -               in  in  302 302 302 302 302 302 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
    "usersessions_list": """
        GET  -              -               in  in  200 200 200 200 200 200 in
        POST -              -               in  in  302 302 302 302 302 302 in
    """,
}
