"""Whole addresses for codes on paper, which a telephone reads far from the page that printed them."""

from instruments.models import Instrument
from shop.models import Listing, ShopProfile


def listing_address(listing: Listing, request, profile: ShopProfile | None = None) -> str:
    """Its page in the window: where the shop says its window stands, else where it was reached."""
    window = (profile or ShopProfile.current()).public_address
    if not window:
        return request.build_absolute_uri(listing.get_absolute_url())
    return f"{window.rstrip('/')}/{listing.slug}/"


def instrument_address(instrument: Instrument, request, profile: ShopProfile, *, is_listed: bool) -> str:
    """The public page of what stands in the window; of anything else its own, behind the login."""
    if is_listed:
        return listing_address(instrument.listing, request, profile)
    return request.build_absolute_uri(instrument.get_absolute_url())
