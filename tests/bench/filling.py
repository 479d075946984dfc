"""Writing a filled shop into the database: bulk inserts, then what an ordinary shop would have besides."""

import io
import time
from collections.abc import Callable, Iterator
from itertools import islice

from django.apps import apps
from django.contrib.auth.models import Group, User
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connection, models, transaction

from tests.bench.filled_rows import TABLES

AT_ONCE = 5_000
STAFF = (("olive", "Olive", "Tarn", "Owner"), ("tobias", "Tobias", "Lind", "Technician"))


def fill(size: int, *, say: Callable[[str], None] = lambda words: None) -> None:
    """Write a shop with `size` instruments into an empty database, with its owner “olive”."""
    call_command("prepare_shop", verbosity=0, stdout=io.StringIO())
    owner = _staff()
    for table in TABLES:
        begun = time.monotonic()
        count = _write(table(size, owner))
        say(f"{table.__name__}: {count:,} rows in {time.monotonic() - begun:.0f} s")
    _settle()


def _staff() -> User:
    groups = {group.name: group for group in Group.objects.all()}
    for username, first, last, role in STAFF:
        user = User.objects.create_user(username, password="quiet-felt-52", first_name=first, last_name=last)
        user.groups.set([groups[role]])
    return User.objects.get(username="olive")


def _write(rows: Iterator[models.Model]) -> int:
    count = 0
    while batch := list(islice(rows, AT_ONCE)):
        with transaction.atomic():
            type(batch[0])._base_manager.bulk_create(batch, batch_size=500)
        count += len(batch)
    return count


def _settle() -> None:
    """Let numbering go on behind what was written, and let the database learn its sizes."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(apps.get_models())):
            cursor.execute(statement)
        cursor.execute("ANALYZE")
