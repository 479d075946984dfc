"""The main places of the shop, each shown to those whose work it is."""

from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse


@dataclass(frozen=True)
class Place:
    label: str
    url_name: str
    permission: str = ""


@dataclass(frozen=True)
class Link:
    label: str
    url: str
    is_current: bool


PLACES = (
    Place("Today", "today"),
    Place("Stock", "stock"),
    Place("Bench", "workorders:bench", "workorders.do_work"),
    Place("People", "shop:people", "shop.see_people"),
    Place("Trials", "shop:trials", "shop.sell"),
    Place("Books", "shop:books", "shop.see_costs"),
    Place("Window", "window"),
)


def navigation(request) -> dict:
    """For templates: `navigation`, the links this person may follow. A place not built in yet is left out."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"navigation": []}
    reached = [
        (place.label, address)
        for place in PLACES
        if (not place.permission or user.has_perm(place.permission)) and (address := _address(place.url_name))
    ]
    current = _current([address for _, address in reached], request.path)
    return {"navigation": [Link(label, address, address == current) for label, address in reached]}


def _address(url_name: str) -> str:
    try:
        return reverse(url_name)
    except NoReverseMatch:
        return ""


def _current(addresses: list[str], path: str) -> str:
    """The longest address that the path lies under; the front page only counts as itself."""
    above = [
        address for address in addresses if path == address or (address != "/" and path.startswith(address))
    ]
    return max(above, key=len, default="")
