"""Files as lasting as the rows that point at them."""

import os
from pathlib import Path

from django.core.files.storage import FileSystemStorage


class SettledFileSystemStorage(FileSystemStorage):
    """Waits for the disk, as the database does: after a power cut no row may point at an empty file."""

    def _save(self, name, content):
        wanted = Path(self.path(name))
        fresh = [each for each in wanted.parents if not each.exists()]
        name = super()._save(name, content)
        path = Path(self.path(name))
        # A folder is only sure to be found again once the one it lies in was written out too.
        for each in (path, path.parent, *(folder.parent for folder in fresh)):
            descriptor = os.open(each, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)
        return name
