"""A served shop with several processes over the test database, and as many callers as are wanted."""

from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.concurrency.callers import Caller
from tests.concurrency.served import THE_SHOP, Server, served


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("served")


@pytest.fixture(autouse=True)
def media_root(settings, folder) -> Path:
    """Where the server keeps its files too; each test has its own rows, and so reads only its own."""
    settings.MEDIA_ROOT = folder / "media"
    return settings.MEDIA_ROOT


@pytest.fixture(scope="module")
def open_shop(django_db_setup, folder):
    """Serve the shop to the end of the module, behind a door of one's choice, one at a time."""
    with ExitStack() as opened:
        yield lambda door=THE_SHOP: opened.enter_context(served(folder, door=door))


@pytest.fixture(scope="module")
def server(open_shop) -> Server:
    return open_shop()


@pytest.fixture
def callers(transactional_db, server, seller):
    """So many browsers at which somebody from sales, or whoever is named, is at work."""
    return lambda count, user=seller: [Caller(server.port, user) for _ in range(count)]
