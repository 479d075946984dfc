"""What every page is told: whose shop this is, and whether anything can be saved."""

from django.utils.functional import SimpleLazyObject

from shop import read_only
from shop.models import ShopProfile


def shop(request) -> dict:
    """`shop_name` and `shop_address`, read once when a template first asks; why only reading is possible."""
    profile = SimpleLazyObject(ShopProfile.current)
    return {
        "shop_name": SimpleLazyObject(lambda: profile.name),
        "shop_address": SimpleLazyObject(lambda: ", ".join(profile.address.splitlines())),
        "only_reading": read_only.reason(),
    }
