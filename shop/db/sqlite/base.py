"""Django's SQLite backend, for a shop where several people write at once."""

from django.db.backends.sqlite3 import base

from shop.db.sqlite.creation import DatabaseCreation
from shop.db.sqlite.cursor import Cursor
from shop.db.sqlite.gate import Gate
from shop.db.sqlite.giving_way import way_at


class DatabaseWrapper(base.DatabaseWrapper):
    """Takes the gate before BEGIN IMMEDIATE and leaves it when the transaction ends, however it ends."""

    creation_class = DatabaseCreation
    gate: Gate | None = None

    def create_cursor(self, name=None):
        if self.gate is None or not self.gate.is_held:
            way_at(str(self.settings_dict["NAME"])).give()
        return self.connection.cursor(factory=Cursor)

    def _start_transaction_under_autocommit(self):
        self._take_gate()
        self.savepoint_state = 0  # so that savepoints have the same names again, and their words are ready
        try:
            super()._start_transaction_under_autocommit()
        except BaseException:
            self._leave_gate()
            raise

    def _commit(self):
        if self.gate is not None and self.gate.is_held:
            self.gate.way.leave()  # what is left is the disk's work, and others may compute
        super()._commit()  # a commit that fails leaves the transaction open, and so the gate held
        self._leave_gate()

    def _rollback(self):
        super()._rollback()
        self._leave_gate()

    def _close(self):
        try:
            super()._close()
        finally:
            if self.gate is not None:
                self.gate.close()
                self.gate = None

    def _take_gate(self):
        if self.is_in_memory_db():
            return  # shared with nobody
        if self.gate is None:
            self.gate = Gate(self.settings_dict["NAME"])
        self.gate.take()

    def _leave_gate(self):
        if self.gate is not None:
            self.gate.leave()
