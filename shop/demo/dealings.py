"""Holds, home trials in every state and ending, and sales: the tables, in pounds and days ago."""

from dataclasses import dataclass

from shop.demo.pieces import Found
from shop.demo.stock.walked import BROUGHT_BACK, HANDED_OVER


@dataclass(frozen=True, kw_only=True)
class Hold:
    key: str
    who: str
    placed: int
    days: int
    deposit: int
    note: str
    let_go: int | None = None
    extended: tuple[int, int, str] | None = None  # when, by how many days, what was written
    waits: tuple[int, str, str] | None = None  # since when, who, what they said


@dataclass(frozen=True)
class Kept:
    ended: int
    note: str


@dataclass(frozen=True)
class Exchanged:
    ended: int
    other: str
    other_price: int
    note: str
    back_in_window: int


@dataclass(frozen=True)
class Returned:
    """`found` is what the report says when it comes back."""

    ended: int
    deduction: int
    note: str
    found: tuple[Found, ...]


@dataclass(frozen=True, kw_only=True)
class HomeTrial:
    """Drafted a day before it starts; without `started` it is a draft still."""

    key: str
    who: str
    price: int
    paid: int
    started: int | None
    days: int = 42
    method: str = "transfer"
    delivery: int = 95
    delivery_note: str = "Ground floor, two men."
    ending: Kept | Exchanged | Returned | None = None
    handed_over: tuple[Found, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Sold:
    key: str
    who: str
    price: int
    paid: int
    sold: int
    method: str = "transfer"


@dataclass(frozen=True)
class PaidLater:
    key: str
    days_ago: int
    pounds: int
    method: str
    reference: str = ""


HOUSE_TERMS = (
    "One tuning on us during the trial. Not within two metres of a radiator or over underfloor heating."
)

HOLDS = (
    Hold(
        key="oakhanger-1937",
        who="Hester Blount",
        placed=6,
        days=18,
        deposit=100,
        note="Until her sister has seen it; the deposit comes off the price.",
        extended=(2, 7, "Her letter of that day: her sister is abroad a week longer."),
        waits=(4, "Ravi Sandholme", "Would take it at the price on the card."),
    ),
    Hold(
        key="wexcombe-1899",
        who="Ravi Sandholme",
        placed=64,
        days=14,
        deposit=150,
        let_go=51,
        note="Wants to measure his door first.",
    ),
)

TRIALS = (
    HomeTrial(
        key="halden-1921",
        who="Maisie Tullow",
        price=2300,
        paid=800,
        started=178,
        ending=Kept(140, "Keeps it; pays the rest in instalments."),
    ),
    HomeTrial(
        key="tarnbrook-1932",
        who="Caspar Lindqvist",
        price=1600,
        paid=1600,
        started=159,
        ending=Exchanged(125, "dornstrand-1912", 3450, "Wants more bass; has the room for it.", 100),
    ),
    HomeTrial(
        key="orrin-1910",
        who="Yusuf Demirel",
        price=2900,
        paid=2000,
        started=129,
        method="card",
        ending=Exchanged(95, "brandlesome-1933", 1500, "Too loud for the flat.", 80),
    ),
    HomeTrial(
        key="ebbsworth-1926",
        who="Duncan Orrey",
        price=1350,
        paid=675,
        started=89,
        days=35,
        method="cheque",
        ending=Returned(58, 45, "A scratch along the fall; £45 agreed for it.", BROUGHT_BACK),
        handed_over=HANDED_OVER,
    ),
    HomeTrial(
        key="castlemere-1929",
        who="Samuel Odell",
        price=1400,
        paid=1400,
        started=48,
        method="card",
        delivery=235,
        delivery_note="Second floor, no lift; stairs priced from photographs, four men.",
    ),
    HomeTrial(
        key="pellow-1908",
        who="Leonie Marchbank",
        price=2150,
        paid=1000,
        started=20,
        handed_over=HANDED_OVER,
    ),
    HomeTrial(key="brandlesome-1928", who="Tom and Greta Aylward", price=1250, paid=600, started=None),
)

SALES = (
    Sold(key="quarle-1962", who="Annis Fothergale", price=1700, paid=1700, sold=195),
    Sold(key="wexcombe-1899", who="St Aldric's Singers", price=1900, paid=900, sold=45, method="cheque"),
)

LATER_PAYMENTS = (
    PaidLater("halden-1921", 110, 500, "transfer", "first instalment"),
    PaidLater("dornstrand-1912", 92, 850, "transfer"),
    PaidLater("wexcombe-1899", 15, 400, "cheque", "collected after the spring concert"),
)
