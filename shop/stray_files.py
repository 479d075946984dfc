"""Files that no row names: left by a program that was killed between a file and its row.

A file is written before the row that will point at it, and taken away after the row that did; so a kill
leaves a file too many and never one too few. A young file may still be waiting for its row.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.apps import apps
from django.core.files.storage import default_storage
from django.db import models
from django.utils import timezone

from shop.models import Removal

WAITS_FOR_ITS_ROW = timedelta(hours=1)


@dataclass(frozen=True)
class StrayFile:
    name: str
    byte_count: int
    changed_at: datetime


def stray_files(*, older_than: timedelta = WAITS_FOR_ITS_ROW) -> Iterator[StrayFile]:
    """Each file of the store that no row names and that has lain there longer than `older_than`."""
    named, now = named_files(), timezone.now()
    for name in _all_files(""):
        if name in named:
            continue
        try:
            changed_at = default_storage.get_modified_time(name)
            byte_count = default_storage.size(name)
        except FileNotFoundError:
            continue  # gone since it was listed
        if now - changed_at > older_than:
            yield StrayFile(name, byte_count, changed_at)


def named_files() -> set[str]:
    """What the rows point at. The file of an erased record is named still and has no right to be there."""
    names: set[str] = set()
    for model in apps.get_models():
        columns = [each.name for each in model._meta.get_fields() if isinstance(each, models.FileField)]
        if not columns:
            continue
        erased = Removal.objects.filter(kind=model._meta.label_lower).exclude(file_sha256="").values("row")
        for row in model._base_manager.exclude(pk__in=erased).values_list(*columns).iterator():
            names.update(row)
    return names


def remove(stray: StrayFile) -> None:
    default_storage.delete(stray.name)


def _all_files(folder: str) -> Iterator[str]:
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return  # nothing was ever stored
    for name in sorted(files):
        yield f"{folder}{name}"
    for each in sorted(folders):
        yield from _all_files(f"{folder}{each}/")
