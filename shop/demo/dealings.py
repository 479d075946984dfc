"""Holds and sales: the tables, in pounds and days ago."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Hold:
    key: str
    who: str
    placed: int
    days: int
    deposit: int
    note: str
    let_go: int | None = None
    kept: tuple[int, str, str] | None = None  # pounds, the loss, how they were told
    extended: tuple[int, int, str] | None = None  # when, by how many days, what was written
    waits: tuple[int, str, str] | None = None  # since when, who, what they said


@dataclass(frozen=True, kw_only=True)
class Sold:
    key: str
    who: str
    price: int
    paid: int
    sold: int
    method: str = "transfer"
    where: str = "shop"
    is_consumer: bool = True
    planned: int | None = None  # delivered so many days from today; else it has been


@dataclass(frozen=True, kw_only=True)
class Repair:
    """What a buyer asked to have put right, and how long ago that and its coming back was."""

    key: str
    asked: int
    back: int
    what: str
    done: str


@dataclass(frozen=True)
class PaidLater:
    key: str
    days_ago: int
    pounds: int
    method: str
    reference: str = ""


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
        kept=(
            30,
            "A carrier was booked for it and could not be called off.",
            "Our letter of that day, with his bill.",
        ),
    ),
)

SALES = (
    Sold(key="quarle-1962", who="Annis Fothergale", price=1700, paid=1700, sold=195),
    Sold(
        key="wexcombe-1899",
        who="St Aldric's Singers",
        price=1900,
        paid=900,
        sold=45,
        method="cheque",
        is_consumer=False,
    ),
)

# Sold again after the first buyer thought better of it, by telephone, and not brought yet.
SOLD_AGAIN = Sold(
    key="tarnbrook-1932",
    who="Ravi Sandholme",
    price=1550,
    paid=500,
    sold=5,
    method="card",
    where="distance",
    planned=4,
)

REPAIRS = (
    Repair(
        key="brandlesome-1933",
        asked=70,
        back=66,
        what="The left pedal does not come up again",
        done="A new spring under it, at their home.",
    ),
)

LATER_PAYMENTS = (
    PaidLater("halden-1921", 110, 500, "transfer", "first instalment"),
    PaidLater("dornstrand-1912", 92, 850, "transfer"),
    PaidLater("wexcombe-1899", 15, 400, "cheque", "collected after the spring concert"),
)
