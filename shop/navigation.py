"""The main places of the shop, each shown to those whose work it is."""

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from django.conf import settings
from django.urls import NoReverseMatch, get_urlconf, reverse


@dataclass(frozen=True)
class Place:
    label: str
    url_name: str
    permission: str = ""
    also: tuple[str, ...] = ()  # addresses elsewhere that belong to it


class Link(NamedTuple):
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
RIGHTS = frozenset(place.permission for place in PLACES)


def navigation(request) -> dict:
    """For templates: `navigation`, the links this person may follow. A place not built in yet is left out."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"navigation": []}
    rights = RIGHTS if user.is_superuser else RIGHTS & user.get_all_permissions()
    return {"navigation": _links(rights, request.path, get_urlconf() or settings.ROOT_URLCONF)}


@lru_cache(maxsize=500)
def _links(rights: frozenset[str], path: str, addresses: str) -> tuple[Link, ...]:
    """For whoever has these of RIGHTS, on the page at that path; told by these and the addresses alone."""
    reached = [
        (place, address)
        for place in PLACES
        if place.permission in {"", *rights} and (address := _address(place.url_name, addresses))
    ]
    current = _current(reached, path)
    return tuple(Link(place.label, address, address == current) for place, address in reached)


@cache
def _address(url_name: str, addresses: str) -> str:
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
