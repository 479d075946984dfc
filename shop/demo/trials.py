"""Home trials in every state and ending: the tables, in pounds and days ago."""

from dataclasses import dataclass

from shop.calc.credit_terms import CreditRule
from shop.demo.pieces import Found
from shop.demo.stock.walked import BROUGHT_BACK, HANDED_OVER, LOOKED_OVER
from shop.trial_states import Heating


@dataclass(frozen=True)
class Kept:
    ended: int
    note: str


@dataclass(frozen=True)
class Exchanged:
    """For a sale; it is fetched when the other one is brought."""

    ended: int
    other: str
    other_price: int
    note: str
    back_in_window: int


@dataclass(frozen=True)
class Followed:
    """By another trial, that of `other`: this one ends as that one starts."""

    other: str
    back_in_window: int


@dataclass(frozen=True)
class Returned:
    """`found` is what the report says when it comes back; `deducted` in pounds, with kind and words."""

    ended: int
    deducted: tuple[tuple[str, str, int], ...]
    note: str


@dataclass(frozen=True, kw_only=True)
class WayIn:
    floor: int = 0
    flights: tuple[int, ...] = ()
    turns: int = 0
    doors_cm: tuple[int, ...] = ()
    surface: str = ""
    parking_m: int | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Steps:
    """What was written down between draft and collection. Its first day is the day it is brought.

    `found_back` is what the report says when it comes back.
    """

    way_in: WayIn = WayIn()
    mover: str = "Two men and a van"
    pounds: int = 95
    handed_over: tuple[Found, ...] = LOOKED_OVER
    room: str = "Front room: inner wall"
    heating: str = Heating.RADIATORS
    air: tuple[str, str] = ("19.5", "50")
    found_back: tuple[Found, ...] = LOOKED_OVER


@dataclass(frozen=True, kw_only=True)
class HomeTrial:
    """Drafted a day before it is agreed; without `agreed` it is a draft still.

    `starts` is its first day: so many days ago, or to come where it is negative. `told` are readings of the
    air afterwards: days ago, degrees, humidity, words. `extended`: days ago, by how many, what was written.
    """

    key: str
    who: str
    price: int
    paid: int
    agreed: int | None
    starts: int
    days: int = 42
    method: str = "transfer"
    delivery: int = 95
    delivery_note: str = "Ground floor, two men."
    steps: Steps | None = None
    told: tuple[tuple[int, str, str, str], ...] = ()
    extended: tuple[int, int, str] | None = None
    credit: CreditRule | None = None
    ending: Kept | Exchanged | Followed | Returned | None = None

    @property
    def is_brought(self) -> bool:
        return self.steps is not None and self.starts > 0


HOUSE_TERMS = (
    "One tuning on us during the trial. Not within two metres of a radiator or over underfloor heating."
)
# For the dearer of two: what is paid counts whole at first, and after two months not quite.
BY_MONTHS = CreditRule(scale=((0, 100), (2, 90)), expires_after_months=24)

TRIALS = (
    HomeTrial(
        key="halden-1921",
        who="Maisie Tullow",
        price=2300,
        paid=800,
        agreed=180,
        starts=178,
        steps=Steps(way_in=WayIn(doors_cm=(81, 78), parking_m=6)),
        ending=Kept(140, "Keeps it; pays the rest in instalments."),
    ),
    HomeTrial(
        key="tarnbrook-1932",
        who="Caspar Lindqvist",
        price=1600,
        paid=1600,
        agreed=161,
        starts=159,
        steps=Steps(
            way_in=WayIn(doors_cm=(92,), surface="Farm track, dry", parking_m=15), heating=Heating.STOVE
        ),
        ending=Exchanged(125, "dornstrand-1912", 3450, "Wants more bass; has the room for it.", 100),
    ),
    HomeTrial(
        key="orrin-1910",
        who="Yusuf Demirel",
        price=2900,
        paid=2000,
        agreed=130,
        starts=129,
        method="card",
        steps=Steps(way_in=WayIn(floor=1, flights=(14,), turns=1, doors_cm=(84, 79)), pounds=140),
        ending=Exchanged(95, "brandlesome-1933", 1500, "Too loud for the flat.", 80),
    ),
    HomeTrial(
        key="ebbsworth-1926",
        who="Duncan Orrey",
        price=1350,
        paid=675,
        agreed=91,
        starts=89,
        days=35,
        method="cheque",
        steps=Steps(
            way_in=WayIn(doors_cm=(86,), surface="Gravel", parking_m=20),
            handed_over=HANDED_OVER,
            heating=Heating.STOVE,
            air=("18.0", "46"),
            found_back=BROUGHT_BACK,
        ),
        told=((74, "20.5", "39", "The stove is lit every evening now."),),
        ending=Returned(
            58,
            (
                ("damage", "A scratch along the fall, 30 cm: to be polished out", 45),
                ("damage", "A second key head chipped, at C4", 18),
                ("missing", "The key of the fall was not handed back", 7),
            ),
            "Not enough room for it after all.",
        ),
    ),
    HomeTrial(
        key="nordlycke-1964",
        who="Priya Ravenhall",
        price=1850,
        paid=1850,
        agreed=72,
        starts=70,
        steps=Steps(way_in=WayIn(doors_cm=(83,), parking_m=4)),
        ending=Followed("ulverdene-1978", 20),
    ),
    HomeTrial(
        key="castlemere-1929",
        who="Samuel Odell",
        price=1400,
        paid=1400,
        agreed=48,
        starts=48,
        method="card",
        delivery=235,
        delivery_note="Second floor, no lift; stairs priced from photographs, four men.",
    ),
    HomeTrial(
        key="ulverdene-1978",
        who="Priya Ravenhall",
        price=2600,
        paid=2600,
        agreed=33,
        starts=31,
        days=28,
        steps=Steps(way_in=WayIn(doors_cm=(83,), parking_m=4), air=("20.0", "52")),
        extended=(6, 17, "Her e-mail of that day: her teacher hears it on the 12th, and she decides then."),
        credit=BY_MONTHS,
    ),
    HomeTrial(
        key="pellow-1908",
        who="Leonie Marchbank",
        price=2150,
        paid=1000,
        agreed=20,
        starts=18,
        steps=Steps(
            way_in=WayIn(flights=(3,), turns=1, doors_cm=(82, 80), surface="Wet cobbles", parking_m=45),
            handed_over=HANDED_OVER,
            room="Back room: inner wall, three metres from the window",
        ),
        told=((4, "22.5", "37", "The heating has been on since Sunday; a bowl of water is put up."),),
    ),
    HomeTrial(
        key="quarle-1958",
        who="Ida Pennock",
        price=1650,
        paid=825,
        agreed=3,
        starts=-2,
        days=28,
        delivery=120,
        delivery_note="Ground floor, four steps at the door, three men.",
        steps=Steps(
            way_in=WayIn(
                flights=(4,),
                turns=1,
                doors_cm=(79, 77),
                surface="Brick path",
                parking_m=30,
                note="Low lintel.",
            ),
            mover="Cobb Carriers",
            pounds=120,
        ),
    ),
    HomeTrial(
        key="brandlesome-1928",
        who="Tom and Greta Aylward",
        price=1250,
        paid=600,
        agreed=None,
        starts=-3,
        steps=Steps(way_in=WayIn(flights=(1,), doors_cm=(85,), parking_m=10)),
    ),
)
