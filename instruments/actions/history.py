"""Saving a tracked row with who did it and, in a sentence, why."""

from django.db import models


def save_tracked(row: models.Model, *, by, why: str, **save_options) -> None:
    row._history_user = by
    row._change_reason = why
    row.save(**save_options)
