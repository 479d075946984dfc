"""The sheets and scripts that every page asks for, bound into one file each, so that a page asks once.

The parts lie readable under `static/` and are bound in the order named here, both when `collectstatic` packs
them and when they are served as they lie. What few pages need stays a file of its own.
"""

import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.utils import matches_patterns
from django.core.files.storage import FileSystemStorage

SHEETS = tuple(f"css/{name}.css" for name in ("tokens", "type", "layout", "forms", "components", "lists"))
BOUND = {
    "css/pages.css": (*SHEETS, "css/recording.css", "css/print.css"),
    "css/public.css": (*SHEETS, "css/window.css", "css/print.css"),
    "js/pages.js": ("js/app.js", "js/outbox.js", "js/outbox_forms.js", "js/put_by.js", "js/stay.js"),
}


class BoundFiles(finders.BaseFinder):
    """Where Django looks for files: a bound one is written anew when a part of it has changed."""

    def __init__(self, app_names=None, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.parts = settings.BASE_DIR / "static"
        self.storage = FileSystemStorage(location=settings.DATA_DIR / "bound")

    def check(self, **kwargs) -> list:
        return []

    def find(self, path: str, find_all: bool = False, **kwargs) -> str | list[str]:
        found = [self._written(path)] if path in BOUND else []
        return found if find_all else next(iter(found), [])

    def list(self, ignore_patterns) -> Iterator[tuple[str, FileSystemStorage]]:
        for name in BOUND:
            if not matches_patterns(name, ignore_patterns or ()):
                self._written(name)
                yield name, self.storage

    def _written(self, name: str) -> str:
        text = "\n".join((self.parts / part).read_text() for part in BOUND[name])
        path = Path(self.storage.path(name))
        if not path.exists() or path.read_text() != text:
            path.parent.mkdir(parents=True, exist_ok=True)
            fresh = path.with_name(f"{path.name}-{os.getpid()}")
            fresh.write_text(text)
            fresh.replace(path)  # whoever reads it meanwhile has the old one whole
        return str(path)
