"""What the tests of the network share: Belgium's real postcodes."""

from __future__ import annotations

import pytest

from network import place_loading


@pytest.fixture
def belgium(db: None) -> None:
    """Every Belgian postcode with its point, and Belgian towns by name."""
    place_loading.store(place_loading.from_packages(["BE"]))
