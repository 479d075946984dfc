"""People who log in. There is no administration site: they are added by the command `add_person_at_work`."""

from collections.abc import Sequence

from django.contrib.auth.models import Group, User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from instruments.problems import Blocked, Blocker


@transaction.atomic
def add_person_at_work(*, username: str, name: str, password: str, roles: Sequence[str]) -> User:
    """Give somebody a login and their roles. Raises Blocked naming every reason why not."""
    first, _, last = name.strip().partition(" ")
    user = User(username=username, first_name=first, last_name=last)
    groups = list(Group.objects.filter(name__in=roles))
    missing = set(roles) - {group.name for group in groups}
    reasons = [f"There is no role {role}; run prepare_shop first." for role in sorted(missing)]
    reasons += _refusals(user, password)
    if reasons:
        raise Blocked([Blocker(reason) for reason in reasons])
    user.set_password(password)
    user.save()
    user.groups.set(groups)
    return user


def _refusals(user: User, password: str) -> list[str]:
    reasons = []
    try:
        user.full_clean(exclude=["password"])
    except ValidationError as error:
        reasons += error.messages
    try:
        validate_password(password, user)
    except ValidationError as error:
        reasons += error.messages
    return reasons
