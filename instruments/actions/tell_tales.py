from django.db import transaction

from instruments.library import tell_tale_table
from instruments.models import TellTale

KEPT = ("text", "look", "speaks_for", "speaks_against", "strength", "source", "caution")


@transaction.atomic
def load_tell_tales() -> list[TellTale]:
    """Bring in what the shipped library has and the shop has not; what the shop changed stays as it is."""
    added = []
    for question in tell_tale_table():
        for row in question["tell_tales"]:
            tell_tale, is_new = TellTale.objects.get_or_create(
                question=question["code"], code=row["code"], defaults={name: row[name] for name in KEPT}
            )
            added += [tell_tale] if is_new else []
    return added
