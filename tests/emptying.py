"""After a test that really commits, the database is put back as it was before the first one.

Django's own way truncates every table and then ends like `migrate`, which makes some hundreds of guards anew:
seconds a test on PostgreSQL. The guards refuse to let rows go, so each engine is asked in a way of its own.
"""

from django.core.management.sql import emit_post_migrate_signal
from django.db.backends.base.base import BaseDatabaseWrapper

# Made once, by `migrate` and with the roles, and meant by every test.
KEPT = {
    *("django_migrations", "django_content_type"),
    *("auth_permission", "auth_group", "auth_group_permissions"),
}
_whole: dict[str, object] = {}


def remember(connection: BaseDatabaseWrapper) -> None:
    """Keep a whole copy of a new SQLite database in memory; of PostgreSQL how many guards it has."""
    connection.ensure_connection()
    if connection.vendor == "sqlite":
        _whole[connection.alias] = copy = type(connection.connection)(":memory:")
        connection.connection.backup(copy)
    else:
        _whole[connection.alias] = _guards(connection)


def put_back(connection: BaseDatabaseWrapper) -> None:
    """Let go of every row that the tests made."""
    if connection.vendor == "sqlite":
        _copy_back(connection)
    else:
        _delete_all(connection)
        if _guards(connection) != _whole[connection.alias]:  # a test took some away
            emit_post_migrate_signal(0, False, connection.alias)


def _guards(connection: BaseDatabaseWrapper) -> int:
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_trigger WHERE NOT tgisinternal")
        return cursor.fetchone()[0]


def _copy_back(connection: BaseDatabaseWrapper) -> None:
    connection.ensure_connection()
    _whole[connection.alias].backup(connection.connection)


def _delete_all(connection: BaseDatabaseWrapper) -> None:
    """Row by row, quick for the few there are; as a replica a connection fires neither guards nor keys."""
    with connection.cursor() as cursor:
        tables = sorted(set(connection.introspection.table_names(cursor)) - KEPT)
        quote = connection.ops.quote_name
        deletes = ";".join(f"DELETE FROM {quote(table)}" for table in tables)
        cursor.execute(
            f"BEGIN; SET LOCAL lock_timeout = '20s'; SET LOCAL session_replication_role = replica;"
            f"{deletes}; COMMIT"
        )
