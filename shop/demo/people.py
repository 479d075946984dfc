"""Everybody in the invented shop and around it. No such people, towns or firms are known to us."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class AtWork:
    username: str
    name: str
    password: str
    roles: tuple[str, ...]
    does: str


STAFF = (
    AtWork("olive", "Olive Tarn", "treble-bridge-41", ("Owner",), "the owner: everything, prices, books"),
    AtWork("bram", "Bram Okoro", "quiet-castor-52", ("Buyer",), "the buyer: logs what comes in"),
    AtWork("tobias", "Tobias Lind", "felt-lantern-63", ("Technician",), "the technician: the bench"),
    AtWork("selma", "Selma Quick", "walnut-window-74", ("Sales",), "sales: listings, trials, people"),
    AtWork("ines", "Ines Farrow", "copper-winding-85", ("Technician",), "second at the bench"),
)

SHOP = {
    "storage_week_minor": 350,
    "storage_free_weeks": 8,
    "reserve_percent": Decimal("2.5"),
    "reserve_fixed_minor": 4_000,
    "wanted_profit_minor": 15_000,
    "name": "Larkrow Pianos",
    "address": "The Old Sail Loft\n3 Larkrow\nKettlebeck",
    "telephone": "01632 960140",
    "email": "hello@larkrow.example",
    "vat_number": "GB 000 0000 00",
    "public_address": "https://larkrow.example/window",
    "jurisdiction": "uk",
    "tax_scheme": "margin",
    "tax_country": "GB",
    "trial_days": 42,
    "delivery_words": "Delivered to a ground floor within 30 miles of Kettlebeck for £95. "
    "Stairs are priced from photographs before anybody lifts.",
    "guarantee_words": "One year on wrest pins, action and our own work; not on tuning, humidity, "
    "or work by others. The first tuning in your home, three to four weeks after delivery, is included.",
}


@dataclass(frozen=True)
class Card:
    name: str
    address: str
    telephone: str = ""
    email: str = ""
    note: str = ""


SELLERS = (
    Card("Wilf Arden", "Mill House, Marrowby", "01632 960101", note="Retired organist. Sold two to us."),
    Card("Edith Callow", "4 Staithe Terrace, Netherfell", "01632 960102"),
    Card("Rosalind Peake", "The Cottage, Burnet Cross", "07700 900103", "rosalind.peake@example.org"),
    Card("Hugh Tansley", "The Rectory, Sallowby", "01632 960104", note="For St Aldric's parish room."),
    Card("Port Lennick School", "Harbour Road, Port Lennick", "01632 960105", "office@portlennick.example"),
    Card("Gideon Marsh", "11 Tanner Row, Kettlebeck", "07700 900106"),
    Card(
        "Kettlebeck Saleroom", "Corn Yard, Kettlebeck", "01632 960107", note="Trade. Collect by Friday noon."
    ),
    Card("Dilys Penwarren", "Chapel Rise, Ostermouth", "01632 960108"),
    Card("Marta Holub", "27 Ropewalk, Port Lennick", "07700 900109", "marta.holub@example.org"),
    Card("Jomo Abara", "Flat 2, 90 Quay Street, Port Lennick", "07700 900110"),
    Card(
        "Ottoline Brice", "Garth Hall, Thrupley", "01632 960111", note="House being cleared over two years."
    ),
    Card("Alec Stroud", "Ferry Cottage, Wenlow", "01632 960112"),
    Card("Bettina Crail", "6 Orchard Bank, Hexmoor", "07700 900113"),
)

CUSTOMERS = (
    Card(
        "Priya Ravenhall",
        "18 Alma Crescent, Kettlebeck",
        "07700 900201",
        "priya.ravenhall@example.org",
        "Plays daily, grade 7. Wants a light, even touch.",
    ),
    Card(
        "Tom and Greta Aylward",
        "The Maltings, Burnet Cross",
        "07700 900202",
        "aylwards@example.org",
        "Two children beginning. Ground floor, one step.",
    ),
    Card("Hester Blount", "2 Priory Walk, Netherfell", "01632 960203"),
    Card("Blount, Hester", "", "+44 1632 960203", note="Rang while nobody had her card before them."),
    Card(
        "Samuel Odell",
        "Flat 9, Wharf House, Port Lennick",
        "07700 900204",
        "s.odell@example.org",
        "Second floor, no lift: stairs photographed.",
    ),
    Card("Caspar Lindqvist", "Windmill Farm, Thrupley", "07700 900205", "caspar@example.org"),
    Card("Yusuf Demirel", "41 Tanner Row, Kettlebeck", "07700 900206", "yusuf.demirel@example.org"),
    Card("Annis Fothergale", "Rose Bank, Hexmoor", "01632 960207", note="Teaches at home, nine pupils."),
    Card("Leonie Marchbank", "5 Lantern Hill, Ostermouth", "07700 900208", "leonie.m@example.org"),
    Card("Duncan Orrey", "The Forge, Wenlow", "01632 960209"),
    Card("Maisie Tullow", "33 Station Parade, Kettlebeck", "07700 900210", "maisie.tullow@example.org"),
    Card("Ravi Sandholme", "14 Fell View, Netherfell", "07700 900211", "ravi.sandholme@example.org"),
    Card("Ida Pennock", "1 Tollgate Cottages, Wenlow", "07700 900214", "ida.pennock@example.org"),
    Card("St Aldric's Singers", "c/o The Rectory, Sallowby", "01632 960212", "singers@sallowby.example"),
)
