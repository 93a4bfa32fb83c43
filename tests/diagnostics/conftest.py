from collections.abc import Iterator

import pytest

from tests.bench import Bench, acting


@pytest.fixture
def bench(db: None) -> Iterator[Bench]:
    with acting() as made:
        yield made
