"""Django's SQLite backend, for a shop where several people write at once."""

from django.db.backends.sqlite3 import base


class DatabaseWrapper(base.DatabaseWrapper):
    pass
