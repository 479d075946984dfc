import pytest

from shop.actions.roles import load_roles
from tests import make


@pytest.fixture
def roles(db):
    return {group.name: group for group in load_roles()}


@pytest.fixture
def owner(roles):
    return make.make_user("olive", "Olive Tarn", roles["Owner"])


@pytest.fixture
def technician(roles):
    return make.make_user("tobias", "Tobias Lind", roles["Technician"])


@pytest.fixture
def seller(roles):
    return make.make_user("selma", "Selma Quick", roles["Sales"])


@pytest.fixture
def buyer(roles):
    return make.make_user("bram", "Bram Okoro", roles["Buyer"])


@pytest.fixture
def stranger(client):
    """A browser that nobody has logged in on."""
    return client
