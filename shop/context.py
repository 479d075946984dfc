"""What every page is told: whose shop this is."""

from django.utils.functional import SimpleLazyObject

from shop.models import ShopProfile


def shop(request) -> dict:
    """`shop_name` and `shop_address`, read once when a template first asks."""
    profile = SimpleLazyObject(ShopProfile.current)
    return {
        "shop_name": SimpleLazyObject(lambda: profile.name),
        "shop_address": SimpleLazyObject(lambda: ", ".join(profile.address.splitlines())),
    }
