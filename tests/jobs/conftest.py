from collections.abc import Iterator

import pytest
from django.test import Client

from tests.bench import Bench, acting


@pytest.fixture
def bench(db: None) -> Iterator[Bench]:
    with acting() as made:
        yield made


@pytest.fixture
def technician(bench: Bench, client: Client) -> Client:
    """Signed in as Ilse."""
    client.force_login(bench.ilse.person)
    return client
