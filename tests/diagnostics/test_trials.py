"""The longer trials of measuring (`make fuzz`), in their short form."""

import pytest

from tests.trials import entries, records, tampering


def test_no_random_record_is_within_on_a_doubt_or_decided_at_its_limit() -> None:
    tally = records.run(each=25, seed=1)
    assert tally.bad == []
    assert tally.touched > 100
    assert sum(count for name, count in tally.verdicts.items() if name.endswith("within")) > 100


@pytest.mark.django_db
def test_no_random_entry_is_within_with_something_missing_overdue_unproved_or_in_the_wrong_state() -> None:
    tally = entries.run(each=4, seed=1)
    assert tally.bad == []
    assert any(name.endswith("within") for name in tally.verdicts)


@pytest.mark.django_db
def test_random_changes_to_stored_records_are_found_and_the_first_bad_record_named() -> None:
    tally = tampering.run(sheets=2, changes=30, seed=1)
    assert tally.bad == []
    assert len(tally.changes) > 8
