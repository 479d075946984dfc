"""What every test stands on: quick passwords, a media folder of its own, and the people of the shop."""

import pytest
from django.conf import settings as project_settings
from django.db import connection
from django.db.backends.base.operations import BaseDatabaseOperations
from hypothesis import settings as hypothesis_settings

from shop.actions.roles import load_roles
from shop.db.append_only import remove_guards
from tests import make

pytest_plugins = ["tests.browser"]


def pytest_configure():
    # Argon2 is slow on purpose; tests log in hundreds of times.
    project_settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


# Slow machines are not failures, and a modest number of examples keeps the whole suite quick.
hypothesis_settings.register_profile("wrestplank", deadline=None, max_examples=60)
hypothesis_settings.load_profile("wrestplank")


@pytest.fixture(scope="session", autouse=True)
def tests_may_empty_the_database():
    """Append-only tables refuse to be emptied; after a test that really commits they have to be."""
    empty = BaseDatabaseOperations.execute_sql_flush

    def empty_past_the_guards(operations, sql_list):
        remove_guards(using=operations.connection.alias)
        empty(operations, sql_list)  # `flush` ends like `migrate`, which puts the guards back

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(BaseDatabaseOperations, "execute_sql_flush", empty_past_the_guards)
        yield


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """A browser's last request may still hold its connection, and PostgreSQL drops no database in use."""
    yield
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


@pytest.fixture(autouse=True)
def media_root(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "media"
    return settings.MEDIA_ROOT


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
