"""The main places of the shop, each shown to those whose work it is."""

from dataclasses import dataclass
from functools import cache

from django.conf import settings
from django.urls import NoReverseMatch, get_urlconf, reverse


@dataclass(frozen=True)
class Place:
    label: str
    url_name: str
    permission: str = ""
    also: tuple[str, ...] = ()  # addresses elsewhere that belong to it


@dataclass(frozen=True)
class Link:
    label: str
    url: str
    is_current: bool


PLACES = (
    Place("Today", "today"),
    Place("Leads", "shop:leads", "shop.see_people", ("/wanted/", "/enquiries/")),
    Place("Stock", "stock", also=("/commissions/", "/taken-in/")),
    Place("Bench", "workorders:bench", "workorders.do_work", ("/orders/", "/items/")),
    Place("People", "shop:people", "shop.see_people", ("/after-care/", "/visits/", "/call-backs/")),
    Place("Trials", "shop:trials", "shop.sell"),
    Place("Books", "shop:books", "shop.see_costs"),
    Place("Window", "window"),
)


def navigation(request) -> dict:
    """For templates: `navigation`, the links this person may follow. A place not built in yet is left out."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"navigation": []}
    every = {place.permission for place in PLACES}
    rights = every if user.is_superuser else {"", *user.get_all_permissions()}
    reached = [
        (place, address)
        for place in PLACES
        if place.permission in rights and (address := _address(place.url_name))
    ]
    current = _current(reached, request.path)
    return {"navigation": [Link(place.label, address, address == current) for place, address in reached]}


def _address(url_name: str) -> str:
    return _address_among(url_name, get_urlconf() or settings.ROOT_URLCONF)


@cache
def _address_among(url_name: str, addresses: str) -> str:
    try:
        return reverse(url_name)
    except NoReverseMatch:
        return ""


def _current(reached: list[tuple[Place, str]], path: str) -> str:
    """The place with the longest address that the path lies under; the front page is only itself."""
    above = [
        (under, address)
        for place, address in reached
        for under in (address, *place.also)
        if path == under or (under != "/" and path.startswith(under))
    ]
    return max(above, key=lambda pair: len(pair[0]), default=("", ""))[1]
