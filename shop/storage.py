"""Files as lasting as the rows that point at them."""

import os

from django.core.files.storage import FileSystemStorage


class SettledFileSystemStorage(FileSystemStorage):
    """Waits for the disk, as the database does: after a power cut no row may point at an empty file."""

    def _save(self, name, content):
        name = super()._save(name, content)
        path = self.path(name)
        for each in (path, os.path.dirname(path)):  # noqa: PTH120
            descriptor = os.open(each, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)
        return name
