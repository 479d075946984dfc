"""A database of a harness's own, made empty before and gone after, in the process that asks for it."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import django

from tests.trust.ready import begin_tests_from_a_copy


@contextmanager
def scratch_database() -> Iterator[Path]:
    """Django set up for testing over a fresh database and a folder for files, which is given."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    from django.conf import settings
    from django.db import connection
    from django.test.utils import override_settings, setup_test_environment, teardown_test_environment

    begin_tests_from_a_copy()
    quick = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    with (
        tempfile.TemporaryDirectory() as folder,
        override_settings(MEDIA_ROOT=Path(folder) / "media", PASSWORD_HASHERS=quick),
    ):
        setup_test_environment()
        name = settings.DATABASES["default"]["NAME"]
        try:
            connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
            yield Path(folder)
            connection.creation.destroy_test_db(name, verbosity=0)
        finally:
            teardown_test_environment()


@contextmanager
def undone() -> Iterator[None]:
    """Whatever is done to rows in the block is as if it had not been."""
    from django.db import transaction

    with transaction.atomic():
        yield
        transaction.set_rollback(True)
