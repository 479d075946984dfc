"""What a full shop costs, as figures for the board of trust: printed as JSON.

    python -m tests.bench.measure_growth [--sizes 1,50,1000,10000,100000] [--rounds 15]
    DATABASE_URL=postgres://… python -m tests.bench.measure_growth

Everything is timed in one process, in turn: the stock list, Django's admin over that table (`urls.py`) and
as a floor one query for the same rows with what the list says of them, joined into a string; then pages on a
small and on a full shop; the first and the last page of a list; and a search with the index and without it.
"""

import argparse
import json
import re
from functools import cache
from statistics import median

from tests.bench.bench_growth import addresses, visiting
from tests.bench.ground import CLOCK, IS_POSTGRES, Shop, collect_as_served
from tests.bench.interleaving import interleaved
from tests.bench.whole_tables import asked_by_pages, read_whole, read_whole_without, steps_in

COUNTED = {
    "list": "stock",
    "search": "search, rare",
    "detail": "instrument",
    "dashboard": "today",
    "bench": "bench",
    "books": "books",
    "window": "window",
    "listing": "a listing",
    "window by price": "window, price",
}
# The rows of the list and what it says of each, written by hand. What the law says of the window and how many
# there are in all, the list asks as well; here that is left out.
FLOOR = """
SELECT i.stock_number, i.maker, i.name_on_fall, i.model, i.made, i.made_basis, i.kind, i.height_cm,
 i.length_cm, i.key_count, i.case_wood, i.case_finish, i.place, i.place_note,
 (SELECT amount_minor FROM shop_askingprice p WHERE p.instrument_id = i.id ORDER BY p.id DESC LIMIT 1),
 q.kind, q.until,
 (SELECT until FROM shop_takenin t WHERE t.instrument_id = i.id AND t.handed_back_on IS NULL),
 (SELECT state FROM shop_listing l WHERE l.instrument_id = i.id),
 EXISTS (SELECT 1 FROM workorders_workorder o JOIN workorders_workitem w ON w.order_id = o.id
   WHERE o.instrument_id = i.id AND o.state = 'open' AND w.state = 'open'),
 (SELECT f.id FROM instruments_photo f WHERE f.instrument_id = i.id AND f.removed_at IS NULL
   ORDER BY f.position, f.id LIMIT 1)
FROM instruments_instrument i
LEFT JOIN shop_promise q ON q.instrument_id = i.id AND q.closed_at IS NULL
WHERE (q.kind IS NULL OR q.kind <> 'sale')
 AND NOT EXISTS (SELECT 1 FROM shop_takenin t
  WHERE t.instrument_id = i.id AND (NOT t.was_ours OR t.handed_back_on IS NULL))
 AND NOT EXISTS (SELECT 1 FROM shop_saleorreturn s WHERE s.instrument_id = i.id AND s.returned_on IS NOT NULL
  AND NOT EXISTS (SELECT 1 FROM shop_purchase b
   WHERE b.instrument_id = s.instrument_id AND b.route <> 'returnable'))
ORDER BY i.id DESC LIMIT 30"""


def floor(shop: Shop):
    from django.db import connection

    def read():
        with shop.open(), connection.cursor() as cursor:
            cursor.execute(FLOOR)
            return "".join(
                f"<li>{'</li><li>'.join(str(value) for value in row)}</li>" for row in cursor.fetchall()
            )

    return read


def refuse_other_rows(shop: Shop) -> None:
    """The floor has to read the very rows that stand on the page, or it is no floor of it."""
    from django.db import connection

    with shop.open(), connection.cursor() as cursor:
        on_page = re.findall(r'name="of" value="([^"]+)"', shop.get("/stock/").text)
        cursor.execute(FLOOR)
        read = [row[0] for row in cursor.fetchall()]
    if read != on_page:
        raise RuntimeError(f"The floor reads other rows than the list of {shop.size:,}.")


def lists(shops: list[Shop], rounds: int) -> dict:
    found = {}
    for shop in shops:
        refuse_other_rows(shop)
        acts = {
            "list": visiting(shop, "/stock/", False),
            "admin": visiting(shop, "/admin/instruments/instrument/", False),
            "floor": floor(shop),
        }
        found[shop.size] = interleaved(acts, rounds=rounds, clock=CLOCK)
    return found


def growth(shops: list[Shop], rounds: int) -> dict:
    """Queries at every size, and milliseconds at 1,000 and at the largest, in turn."""
    paths = {shop.size: addresses(shop) for shop in shops}
    timed = [shop for shop in shops if shop.size in (1_000, shops[-1].size)]
    found = {}
    for name, page in COUNTED.items():
        here = [shop for shop in shops if page in paths[shop.size]]
        counts = {}
        for shop in here:
            path, stranger = paths[shop.size][page]
            counts[shop.size] = len(shop.queries(path, stranger=stranger))
        taken = interleaved(
            {shop.size: visiting(shop, *paths[shop.size][page]) for shop in timed}, rounds=rounds, clock=CLOCK
        )
        found[name] = {"queries": counts, "ms": taken}
    return found


def deep(shop: Shop, rounds: int) -> dict:
    pages = {"first": "/stock/?state=all", "last": "/stock/?state=all&page=9999"}
    return interleaved(
        {name: visiting(shop, path, False) for name, path in pages.items()}, rounds=rounds, clock=CLOCK
    )


def search(shop: Shop, rounds: int) -> dict:
    """Milliseconds: the 95th percentile of the search, and its median beside that of reading through.

    Not in turn: what reads through puts everything else out of the cache, and no page does that.
    """
    from instruments.models import Instrument

    with shop.open():
        serial = Instrument.objects.order_by("id").values_list("serial", flat=True)[shop.size // 2]
        words = {
            "rare": f"pencilled {serial}",
            "common": "walnut",
            "two words": "school quillon",
            "prefix": serial[:4],
            "infix": serial[1:],
            "none": "zzyzx",
        }
        found = {}
        for name, text in words.items():
            acts = {
                "ours": lambda text=text: _found(text),
                "read through": lambda text=text: _read_through(text),
            }
            if acts["ours"]() != acts["read through"]():
                raise RuntimeError(f"The index and reading through find different things for “{text}”.")
            ours, through = _taken(acts["ours"], 10 * rounds), _taken(acts["read through"], rounds)
            found[name] = {
                "p95": ours[int(len(ours) * 0.95)],
                "ours": median(ours),
                "read through": median(through),
            }
        return found


def _found(text: str) -> list:
    from instruments.models import Instrument, rare_words

    return _worded(text, rare_words(Instrument, text)).first_column()


def _read_through(text: str) -> list:
    """As a search without an index goes: PostgreSQL has to be told to leave its own alone."""
    from django.db import connection, transaction

    if not IS_POSTGRES:
        return _worded(text, ()).first_column()
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET LOCAL enable_bitmapscan = off")
        return _worded(text, ()).first_column()


@cache
def _worded(text: str, rare: tuple[str, ...]):
    """Put into SQL once, as the pages do it: what is timed is the answer."""
    from instruments.models import Instrument
    from instruments.models.worded import Worded

    return Worded.of(Instrument.objects.search(text, rare=rare).values_list("pk")[:51])


def _taken(act, rounds: int) -> list[float]:
    """Milliseconds, the shortest first."""
    taken = []
    for _ in range(rounds):
        begun = CLOCK()
        act()
        taken.append((CLOCK() - begun) * 1000)
    return sorted(taken)


def whole_tables(small: Shop, shop: Shop) -> dict:
    """What is read whole as it is, and once more while statements are not found by their instrument."""
    asked, few = asked_by_pages(shop), steps_in(small)
    without = read_whole_without(shop, asked, few, "instruments_statement", "instrument_id")
    return {"as it is": read_whole(shop, asked, few), "without an index": without}


def main(sizes: list[int], rounds: int) -> None:
    shops = [Shop(size) for size in sizes]
    collect_as_served()
    large = [shop for shop in shops if shop.size >= 1_000]
    figures = {
        "database": "PostgreSQL" if IS_POSTGRES else "SQLite",
        "lists": lists(large, rounds),
        "growth": growth(shops, rounds),
        "deep": deep(shops[-1], rounds),
        "search": search(shops[-1], rounds),
        "read whole": whole_tables(large[0], shops[-1]),
    }
    print(json.dumps(figures))


if __name__ == "__main__":
    given = argparse.ArgumentParser(prog="python -m tests.bench.measure_growth")
    given.add_argument("--sizes", default="1,50,1000,10000,100000")
    given.add_argument("--rounds", type=int, default=15)
    asked = given.parse_args()
    main([int(size) for size in asked.sizes.split(",")], asked.rounds)
