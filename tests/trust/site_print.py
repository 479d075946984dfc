"""`python -m tests.trust.site_print`: a print of the whole site that the environment names, one line a table.

Read through the models, so that the two databases can be held against each other; files by their content.
Sessions are left out: no backup holds them.
"""

import hashlib
import json
import os
import sys
from pathlib import Path

import django
from django.apps import apps
from django.conf import settings
from django.db.migrations.recorder import MigrationRecorder


def prints() -> dict[str, list]:
    """By table and by file: how many, and the SHA-256 of what is in it."""
    models = [model for model in apps.get_models(include_auto_created=True) if _is_kept(model)]
    found = {model._meta.db_table: _print_of(model.objects.all()) for model in models}
    found["django_migrations"] = _print_of(MigrationRecorder.Migration.objects.all())
    root = Path(settings.MEDIA_ROOT)
    for path in sorted(path for path in root.rglob("*") if path.is_file()):
        found[f"file {path.relative_to(root)}"] = [1, hashlib.sha256(path.read_bytes()).hexdigest()]
    return found


def _is_kept(model) -> bool:
    return model._meta.managed and not model._meta.proxy and model._meta.db_table != "django_session"


def _print_of(rows) -> list:
    digest, count = hashlib.sha256(), 0
    columns = [field.attname for field in rows.model._meta.concrete_fields]
    for row in rows.order_by("pk").values_list(*columns).iterator(chunk_size=2000):
        digest.update(json.dumps(row, sort_keys=True, default=str).encode() + b"\n")
        count += 1
    return [count, digest.hexdigest()]


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    json.dump(prints(), sys.stdout)
