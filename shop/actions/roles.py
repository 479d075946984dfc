"""The four roles, read from fixtures/roles.json, which anybody may read to see who can do what."""

import json

from django.conf import settings
from django.contrib.auth.models import Group, Permission
from django.db import transaction

ROLES_FILE = settings.BASE_DIR / "fixtures" / "roles.json"


def role_table() -> dict[str, list[str]]:
    return json.loads(ROLES_FILE.read_text())


@transaction.atomic
def load_roles() -> list[Group]:
    """Make the groups and give each exactly the rights its line in the file names."""
    groups = []
    for name, rights in role_table().items():
        group, _ = Group.objects.get_or_create(name=name)
        group.permissions.set([permission_named(right) for right in rights])
        groups.append(group)
    return groups


def permission_named(right: str) -> Permission:
    app, codename = right.split(".")
    return Permission.objects.get(content_type__app_label=app, codename=codename)
