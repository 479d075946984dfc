"""What every test stands on: quick passwords, a media folder of its own, and the people of the shop."""

import gc

import pytest
from django.conf import settings as project_settings
from django.contrib.auth.models import Group
from django.db import connection, connections, transaction
from django.test.testcases import TransactionTestCase
from django.test.utils import override_settings
from hypothesis import settings as hypothesis_settings

from shop.actions.roles import load_roles
from tests import emptying, make, static_once
from tests.sampling import ONE_OF, arrange

pytest_plugins = ["tests.browser"]


def pytest_configure():
    # Argon2 is slow on purpose; tests log in hundreds of times.
    project_settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    static_once.look_once()


def pytest_collection_modifyitems(config, items):
    arrange(config, items)


def pytest_collection_finish(session):
    # What was read in stays to the end and is looked through no more; what a test leaves rarely is.
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


# Slow machines are not failures, and a modest number of examples keeps the whole suite quick.
hypothesis_settings.register_profile("wrestplank", deadline=None, max_examples=60 // ONE_OF)
hypothesis_settings.load_profile("wrestplank")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """A test that really commits is undone in our own way: see `tests/emptying.py`."""

    def put_back_all(case):
        for name in case._databases_names(include_mirrors=False):
            emptying.put_back(connections[name])

    with django_db_blocker.unblock():
        if connection.vendor == "postgresql":
            _wait_for_no_disk()
        load_roles()
        emptying.remember(connection)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", put_back_all)
        yield
    # A browser's last request may still hold its connection, and PostgreSQL drops no database in use.
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


def _wait_for_no_disk():
    """What has to outlive a power cut is tried on servers of its own (`tests/trust/cluster.py`)."""
    with connection.cursor() as cursor:
        name = connection.ops.quote_name(connection.settings_dict["NAME"])
        cursor.execute(f"ALTER DATABASE {name} SET synchronous_commit = off")
    connection.close()  # the next line begins with it


@pytest.fixture(autouse=True)
def media_root(request, settings, tmp_path):
    shared = "standing" in request.fixturenames
    settings.MEDIA_ROOT = request.getfixturevalue("standing") if shared else tmp_path / "media"
    return settings.MEDIA_ROOT


@pytest.fixture(scope="module")
def standing(django_db_setup, django_db_blocker, tmp_path_factory):
    """For fixtures that make rows once for a module of tests that really commit nothing: undone at its end.

    What a test does is undone after it, as ever. Yields the folder of their files.
    """
    folder = tmp_path_factory.mktemp("media")
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=folder), transaction.atomic():
        yield folder
        transaction.set_rollback(True)


@pytest.fixture
def roles(db):
    return {group.name: group for group in Group.objects.all()}


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
