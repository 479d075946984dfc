"""How the pages grow with the shop: the same page on filled shops of several sizes, in turn.

    python -m tests.bench.bench_growth --sizes 1000,100000
    DATABASE_URL=postgres://… python -m tests.bench.bench_growth

Prints for each page the number of queries and the median milliseconds at each size, and the ratio of the
largest to the smallest of them.
"""

import argparse

from tests.bench.ground import CLOCK, IS_POSTGRES, Shop, collect_as_served
from tests.bench.interleaving import interleaved

PAGES = {
    "today": "/",
    "stock": "/stock/",
    "stock, by maker": "/stock/?sort=maker",
    "stock, dearest": "/stock/?sort=dearest",
    "stock, tallest": "/stock/?sort=tallest",
    "stock, oldest": "/stock/?sort=oldest",
    "stock, of a kind": "/stock/?kind=square",
    "stock, height": "/stock/?height_from=139",
    "stock, price": "/stock/?price_from=6800",
    "stock, 85 keys": "/stock/?compass=85",
    "stock, free": "/stock/?state=free",
    "stock, window": "/stock/?state=window",
    "stock, held": "/stock/?state=hold",
    "stock, on trial": "/stock/?state=trial",
    "stock, open work": "/stock/?state=open_work",
    "stock, sold": "/stock/?state=sold",
    "stock, customers": "/stock/?state=customers",
    "stock, all": "/stock/?state=all",
    "stock, last page": "/stock/?page=9999",
    "stock, all, last page": "/stock/?state=all&page=9999",
    "search, rare": "/stock/?q=pencilled+{serial}",
    "search, common": "/stock/?q=walnut",
    "search, two words": "/stock/?q=school+quillon",
    "search, prefix": "/stock/?q={prefix}",
    "search, infix": "/stock/?q={infix}",
    "search, none": "/stock/?q=zzyzx",
    "instrument": "/stock/{number}/",
    "instrument, sold": "/stock/{old}/",
    "bench": "/bench/",
    "books": "/books/",
    "books, lines": "/books/lines/",
    "receipts": "/books/receipts/",
    "people": "/people/",
    "people, search": "/people/ q=greta",
    "leads": "/offered/",
    "wanted": "/wanted/",
    "enquiries": "/enquiries/",
    "trials": "/trials/",
    "orders": "/bench/orders/",
    "plan": "/bench/plan/",
    "choose an instrument": "/choose/instrument/?field=instrument instrument_find=walnut",
    "choose a person": "/choose/person/?field=person person_find=greta",
}
FOR_STRANGERS = {
    "window": "/window/",
    "window, dearest": "/window/?order=dearest",
    "window, oldest": "/window/?order=oldest",
    "window, height": "/window/?height_from=139",
    "window, price": "/window/?price_from=6800",
    "window, heard": "/window/?heard=on",
    "window, wood": "/window/?wood=oak",
    "window, last page": "/window/?page=9999",
    "a listing": "/window/{slug}/",
    "sitemap": "/sitemap.xml",
}


def places_in(shop: Shop) -> dict[str, str]:
    """What the addresses above leave open: a young instrument, a sold one, one in the window, a serial."""
    from instruments.models import Instrument
    from shop.models import Listing

    with shop.open():
        young, old = Instrument.objects.order_by("-id").first(), Instrument.objects.order_by("id").first()
        listing = Listing.objects.in_window().first()
        middle = Instrument.objects.order_by("id")[max(0, shop.size // 2)]
    serial = middle.serial
    return {
        "number": young.stock_number,
        "old": old.stock_number,
        "slug": listing.slug if listing else "",
        "serial": serial,
        "prefix": serial[:4],
        "infix": serial[1:],
    }


def addresses(shop: Shop) -> dict[str, tuple[str, bool]]:
    places = places_in(shop)
    return {
        **{name: (path.format(**places), False) for name, path in PAGES.items()},
        **{
            name: (path.format(**places), True)
            for name, path in FOR_STRANGERS.items()
            if places["slug"] or "{slug}" not in path
        },
    }


def visiting(shop: Shop, path: str, stranger: bool):
    def visit():
        with shop.open():
            shop.get(path, stranger=stranger)

    return visit


def main(sizes: list[int], *, only: str, rounds: int) -> None:
    print("PostgreSQL" if IS_POSTGRES else "SQLite", sizes)
    shops = [Shop(size) for size in sizes]
    paths = [addresses(shop) for shop in shops]
    collect_as_served()
    for name in paths[-1]:
        if only not in name:
            continue
        visits = [(shop, *of[name]) for shop, of in zip(shops, paths, strict=True)]
        try:
            counts = [len(shop.queries(path, stranger=stranger)) for shop, path, stranger in visits]
            taken = interleaved(
                {visit[0].size: visiting(*visit) for visit in visits}, rounds=rounds, clock=CLOCK
            )
        except RuntimeError as error:
            print(f"{name:24} {error}")
            continue
        times = "  ".join(f"{taken[size]:8.1f}" for size in sizes)
        print(f"{name:24} {counts!s:24} {times}   x{taken[sizes[-1]] / taken[sizes[0]]:.2f}", flush=True)


if __name__ == "__main__":
    given = argparse.ArgumentParser(prog="python -m tests.bench.bench_growth", description=__doc__)
    given.add_argument("--sizes", default="1000,100000")
    given.add_argument("--only", default="", help="pages whose name has this in it")
    given.add_argument("--rounds", type=int, default=7)
    asked = given.parse_args()
    main([int(size) for size in asked.sizes.split(",")], only=asked.only, rounds=asked.rounds)
