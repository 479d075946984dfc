"""A file that a row will point at: written before the transaction begins, gone again if no row took it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import InterfaceError, OperationalError, connection


@dataclass
class StoredFile:
    """What the row needs; `keep()` says that a row now points at the file."""

    fields: dict
    is_kept: bool = False

    def keep(self) -> None:
        self.is_kept = True


@contextmanager
def stored_file(name: str, content: File, **noted) -> Iterator[StoredFile]:
    """Put the file away under a free name; take it out again if the block raises or ends without `keep()`."""
    stored = StoredFile({"file": default_storage.save(name, content)} | noted)
    try:
        yield stored
    except BaseException as error:
        stored.is_kept = stored.is_kept and may_be_committed(error)
        raise
    finally:
        if not stored.is_kept:
            default_storage.delete(stored.fields["file"])


def may_be_committed(error: BaseException) -> bool:
    """Whether rows may stand although the transaction raised.

    A server that goes away while it commits may have done so already. Their files stay then; if no row came
    of it, `manage.py stray_files` finds them. SQLite answers for its own commit.
    """
    return isinstance(error, OperationalError | InterfaceError) and connection.vendor != "sqlite"
