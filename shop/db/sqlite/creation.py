"""Test databases that leave nothing behind."""

from pathlib import Path

from django.db.backends.sqlite3 import creation

from shop.db.sqlite import gate


class DatabaseCreation(creation.DatabaseCreation):
    """Removes the log and the gate with the database; a new one must not read an old one's log."""

    def _create_test_db(self, verbosity, autoclobber, keepdb=False):
        name = super()._create_test_db(verbosity, autoclobber, keepdb)
        if not keepdb:
            self._remove_beside(name)
        return name

    def _destroy_test_db(self, test_database_name, verbosity):
        super()._destroy_test_db(test_database_name, verbosity)
        self._remove_beside(test_database_name)

    def _remove_beside(self, name) -> None:
        if not self.is_in_memory_db(name):
            for ending in ("-wal", "-shm", *gate.ENDINGS):
                Path(f"{name}{ending}").unlink(missing_ok=True)
