from django.db import transaction

from instruments.actions.history import save_tracked
from shop.models import ShopProfile


@transaction.atomic
def change_profile(*, by, **terms) -> ShopProfile:
    """Set whose shop this is and the terms it starts from; `terms` holds fields of ShopProfile."""
    profile = ShopProfile.current()
    for name, value in terms.items():
        setattr(profile, name, value)
    save_tracked(profile, by=by, why="The shop's terms changed")
    return profile
