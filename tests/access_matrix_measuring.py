"""The rows of `tests/access_matrix.py` for measuring: families, instruments, sheets, records, what is shared of them."""

MEASURING: dict[str, str] = {
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
    "expected_new": """
        GET  family           -                        in  in  403 200 200 200 403 403 in
        GET  missing          -                        in  in  403 404 404 404 403 403 in
        POST family           -                        in  in  403 422 422 422 403 403 in
        POST family           expected                 in  in  403 302 302 302 403 403 in
        POST missing          expected                 in  in  403 404 404 404 403 403 in
    """,
    "expected_take_back": """
        GET  expected_of_a    -                        in  in  403 405 405 405 403 403 in
        POST expected_of_a    -                        in  in  403 302 302 404 403 403 in
        POST expected_of_b    -                        in  in  403 404 404 302 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
    """,
    "expected_confirm": """
        GET  expected_of_b    -                        in  in  403 405 405 405 403 403 in
        POST expected_of_b    -                        in  in  403 302 302 302 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
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
        POST windings_of_a    windings_of_photo_of_b   in  in  403 422 422 404 403 403 in
    """,
    "display_photo": """
        GET  windings_of_a    -                        in  in  403 200 200 404 403 403 in
        GET  windings_of_b    -                        in  in  403 404 404 200 403 403 in
        GET  missing_windings -                        in  in  403 404 404 404 403 403 in
        GET  no_kind_of_a     -                        in  in  403 404 404 404 403 403 in
        POST windings_of_a    -                        in  in  403 422 422 404 403 403 in
        POST windings_of_a    display_file             in  in  403 302 302 404 403 403 in
        POST windings_of_b    display_file             in  in  403 404 404 302 403 403 in
        POST missing_windings display_file             in  in  403 404 404 404 403 403 in
    """,
    "display_photo_put_aside": """
        GET  display_of_a     -                        in  in  403 405 405 405 403 403 in
        POST display_of_a     -                        in  in  403 302 302 404 403 403 in
        POST display_of_b     -                        in  in  403 404 404 302 403 403 in
        POST missing          -                        in  in  403 404 404 404 403 403 in
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
}
