"""The rows of a filled shop, table by table in the order in which they point at each other.

Each function yields unsaved rows for a shop of `size` instruments. Keys are counted, so that one table can
point into another without asking; names of makers, people and places are made up.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal

from instruments.models import Finding, Instrument, Move, Photo, Statement, folded
from shop.actions.credit_terms import credit_terms_in_force
from shop.models import (
    AskingPrice,
    BookLine,
    Clearance,
    CostLine,
    CreditEntry,
    Enquiry,
    HandedOver,
    Lead,
    Listing,
    Payment,
    Person,
    Promise,
    Purchase,
    Receipt,
    Sale,
    Wanted,
)
from shop.models.trial import Trial
from tests.bench.filled_shop import TODAY, day_of, held, in_window, on_trial, sold
from workorders.models import TimeSpent, WorkItem, WorkOrder

MAKERS = ("Halden & Rook", "Orrin Vale", "Marlowe Pike", "Tessel Brothers", "Aldous Fenn", "Quillon")
WOODS = ("walnut", "mahogany", "rosewood", "oak", "ebonised", "burr_walnut")
KINDS = ("upright",) * 8 + ("grand", "square")
PLACES = ("workshop", "showroom", "store")
FIRST_NAMES = ("Wilf", "Edda", "Otto", "Nell", "Ivo", "Greta", "Amos", "Tilda", "Perrin", "Maud")
LAST_NAMES = ("Arden", "Marl", "Quist", "Hollin", "Sedge", "Brock", "Vane", "Tarrow", "Lisle", "Pell")
STORIES = (
    "Bought new in Ashmere and kept in the front room of one family.",
    "Stood in the school hall at Dunwick until the hall was pulled down.",
    "Restrung about thirty years ago by a man from Pellow.",
    "Came down from an aunt who taught singing in Marbury.",
)
STEPS = (("Clean inside", 20), ("Ease the keys", 40), ("Regulate the action", 50), ("Tune", 90))
MIDDAY = time(12, tzinfo=UTC)


def at(day) -> datetime:
    return datetime.combine(day, MIDDAY)


def price_of(number: int) -> int:
    return (900 + number * 37 % 6000) * 100


def owing_of(number: int) -> int:
    """What is still to pay of what was sold."""
    return 10_000 if number % 400 == 3 else 0


def people_count(size: int) -> int:
    return max(10, size * 3 // 5)


def buyer_of(number: int, size: int) -> int:
    return 1 + number * 7 % people_count(size)


def seller_of(number: int, size: int) -> int:
    return 1 + number * 11 % people_count(size)


def people(size: int, owner) -> Iterator[Person]:
    for number in range(1, people_count(size) + 1):
        first, last = FIRST_NAMES[number % 10], LAST_NAMES[number // 10 % 10]
        name, telephone = f"{first} {last}-{number // 100}", f"01632 {number:06d}"
        address, email = f"{number % 90 + 1} Mill Lane\nAshmere", f"{first.lower()}{number}@example.org"
        words = folded(f"{name} {address} {telephone} {email} 441632{number:06d}")
        yield Person(
            pk=number, name=name, address=address, telephone=telephone, email=email, search_text=words
        )


def instruments(size: int, owner) -> Iterator[Instrument]:
    for number in range(1, size + 1):
        day, maker, wood = day_of(number, size), MAKERS[number % 6], WOODS[number % 6 if number % 5 else 1]
        kind, year, serial = KINDS[number % 10], 1880 + number % 60, f"{10_000 + number * 7919 % 900_000}"
        stories = "\n".join(statement_texts(number))
        stock_number = f"{day:%y}-{number:05d}"
        words = f"{stock_number}\n{maker}\n{maker}\nModel {number % 40}\n{serial}\n{kind}\n{wood}\n{stories}"
        yield Instrument(
            pk=number,
            stock_number=stock_number,
            kind=kind,
            maker=maker,
            name_on_fall=maker,
            model=f"Model {number % 40}",
            serial=serial,
            serial_read_at="on the frame",
            made=str(year),
            made_earliest=f"{year}-01-01",
            made_latest=f"{year}-12-31",
            made_basis="serial",
            height_cm=Decimal(100 + number % 40),
            key_count=85 if number % 3 else 88,
            stringing="overstrung" if number % 4 else "straight",
            damping="under",
            case_wood=wood,
            natural_covering="celluloid",
            sharp_covering="stained",
            place="customer" if sold(number, size) or on_trial(number) else PLACES[number % 3],
            search_text=folded(words),
            logged_at=at(day),
            logged_by=owner,
        )


def statement_texts(number: int) -> list[str]:
    name = LAST_NAMES[number % 10]
    return [STORIES[number % 4], f"The name of {name} is pencilled on key {number % 85 + 1}."]


def statements(size: int, owner) -> Iterator[Statement]:
    for number in range(1, size + 1):
        told, seen = statement_texts(number)
        same = {"instrument_id": number, "recorded_by": owner, "is_public": True}
        yield Statement(text=told, topic="owned", grade="told", told_by="seller", teller="last_owner", **same)
        yield Statement(text=seen, topic="general", grade="seen", **same)


def photos(size: int, owner) -> Iterator[Photo]:
    """Three of each; their files are not there, which no page asks after."""
    for number in range(1, size + 1):
        for position, shot in enumerate(("front", "action", "serial")):
            stem = f"photos/filled/{number:06d}-{position}"
            yield Photo(
                instrument_id=number,
                position=position,
                shot=shot,
                original=f"{stem}.jpg",
                thumb=f"{stem}-thumb.webp",
                page=f"{stem}-page.webp",
                print=f"{stem}-print.jpg",
                original_name=f"IMG_{number}.jpg",
                media_type="image/jpeg",
                sha256=f"{number:032d}{position:032d}",
                byte_count=2_600_000,
                width=4000,
                height=3000,
                is_public=True,
                uploaded_by=owner,
            )


def findings(size: int, owner) -> Iterator[Finding]:
    for number in range(1, size + 1):
        for part, condition in (("pins", "sound"), ("hammers", "attend")):
            day = day_of(number, size)
            yield Finding(instrument_id=number, part=part, condition=condition, found_on=day, found_by=owner)


def moves(size: int, owner) -> Iterator[Move]:
    for number in range(1, size + 1):
        day = day_of(number, size)
        yield Move(instrument_id=number, place="workshop", moved_on=day, recorded_by=owner)
        if sold(number, size):
            yield Move(instrument_id=number, place="customer", moved_on=day, recorded_by=owner)


def purchases(size: int, owner) -> Iterator[Purchase]:
    for number in range(1, size + 1):
        yield Purchase(
            pk=number,
            instrument_id=number,
            seller_id=seller_of(number, size),
            route="gift",  # nothing is owed for it, as nothing is for what was paid long ago
            price_minor=0,
            bought_on=day_of(number, size),
            seller_kind="private",
            recorded_by=owner,
        )


def costs(size: int, owner) -> Iterator[CostLine]:
    for number in range(1, size + 1):
        day = day_of(number, size)
        yield CostLine(
            instrument_id=number, kind="transport", amount_minor=9_000, spent_on=day, recorded_by=owner
        )


def prices(size: int, owner) -> Iterator[AskingPrice]:
    for number in range(1, size + 1):
        day = day_of(number, size)
        for amount in (price_of(number) * 11 // 10, price_of(number)):
            yield AskingPrice(instrument_id=number, amount_minor=amount, set_on=day, set_by=owner)


def orders(size: int, owner) -> Iterator[WorkOrder]:
    for number in range(1, size + 1):
        is_open = not sold(number, size) and number % 8 == 1
        yield WorkOrder(
            pk=number,
            number=f"W{number:06d}",
            instrument_id=number,
            title="Make it ready",
            state="open" if is_open else "ready",
            opened_on=day_of(number, size),
            opened_by=owner,
            closed_at=None if is_open else at(day_of(number, size)),
            closed_by=None if is_open else owner,
        )


def items(size: int, owner) -> Iterator[WorkItem]:
    for number in range(1, size + 1):
        is_open = not sold(number, size) and number % 8 == 1
        for place, (name, rank) in enumerate(STEPS):
            is_left = is_open and place >= 2
            yield WorkItem(
                pk=(number - 1) * len(STEPS) + place + 1,
                order_id=number,
                name=name,
                rank=rank,
                usual_minutes=90,
                state="open" if is_left else "done",
                result="" if is_left else "Done.",
                assigned_to=owner if is_left and number % 3 == 0 else None,
                closed_at=None if is_left else at(day_of(number, size)),
                closed_by=None if is_left else owner,
            )


def times(size: int, owner) -> Iterator[TimeSpent]:
    for number in range(1, size + 1):
        for place in (1, 2):
            yield TimeSpent(
                item_id=(number - 1) * len(STEPS) + place,
                person=owner,
                minutes=80,
                per_hour_minor=2_400,
                cost_minor=3_200,
                worked_on=day_of(number, size),
                recorded_by=owner,
            )


def clearances(size: int, owner) -> Iterator[Clearance]:
    for number in range(1, size + 1, 10):
        yield Clearance(
            instrument_id=number,
            found="Celluloid",
            how="seam seen",
            no_protected_material=True,
            recorded_by=owner,
        )


def listings(size: int, owner) -> Iterator[Listing]:
    for number in range(1, size + 1):
        gone, shown = sold(number, size), in_window(number)
        yield Listing(
            instrument_id=number,
            slug=f"filled-{number}",
            headline=f"{MAKERS[number % 6]} in {WOODS[number % 6]}",
            body=" ".join(statement_texts(number)),
            state="withdrawn" if gone else "published" if shown else "draft",
            first_published_at=at(day_of(number, size)) if gone or shown else None,
        )


def promises(size: int, owner) -> Iterator[Promise]:
    """The sale of what is sold, with the key of its instrument; then holds and home trials that stand."""
    for number in range(1, size + 1):
        same = {"instrument_id": number, "person_id": buyer_of(number, size), "opened_by": owner}
        until = TODAY + timedelta(days=number % 50 - 2)
        if sold(number, size):
            day = day_of(number, size)
            same |= {"price_minor": price_of(number), "is_settled": not owing_of(number)}
            yield Promise(pk=number, kind="sale", opened_on=day, **same)
        elif held(number):
            day = TODAY - timedelta(days=4)
            yield Promise(
                pk=number, kind="hold", price_minor=price_of(number), opened_on=day, until=until, **same
            )
        elif on_trial(number):
            day = TODAY - timedelta(days=20)
            yield Promise(
                pk=number, kind="trial", price_minor=price_of(number), opened_on=day, until=until, **same
            )


def trials(size: int, owner) -> Iterator[Trial]:
    terms = credit_terms_in_force()
    for number in range(1, size + 1):
        if on_trial(number) and not sold(number, size) and not held(number):
            yield Trial(
                number=f"T{number:06d}",
                instrument_id=number,
                person_id=buyer_of(number, size),
                price_minor=price_of(number),
                pay_now_minor=0,
                credit_terms=terms,
                starts_on=TODAY - timedelta(days=20),
                ends_on=TODAY + timedelta(days=number % 50 - 2),
                state="out",
                promise_id=number,
                drafted_by=owner,
            )


def sales(size: int, owner) -> Iterator[Sale]:
    for number in range(1, size + 1):
        if sold(number, size):
            yield Sale(
                pk=number,
                number=f"S{number:06d}",
                instrument_id=number,
                person_id=buyer_of(number, size),
                promise_id=number,
                price_minor=price_of(number),
                sold_on=day_of(number, size),
                recorded_by=owner,
            )


def hand_overs(size: int, owner) -> Iterator[HandedOver]:
    for number in range(1, size + 1):
        if sold(number, size):
            yield HandedOver(sale_id=number, handed_over_on=day_of(number, size), recorded_by=owner)


def payments(size: int, owner) -> Iterator[Payment]:
    for number in range(1, size + 1):
        if sold(number, size):
            yield Payment(
                pk=number,
                person_id=buyer_of(number, size),
                promise_id=number,
                amount_minor=price_of(number) - owing_of(number),
                method="transfer",
                paid_on=day_of(number, size),
                recorded_by=owner,
            )


def credits(size: int, owner) -> Iterator[CreditEntry]:
    """Of some who had money back as credit, and used it for the same piano after all."""
    for number in range(11, size + 1, 50):
        if sold(number, size):
            same = {"person_id": buyer_of(number, size), "promise_id": number, "recorded_by": owner}
            same["entered_on"] = day_of(number, size)
            yield CreditEntry(kind="from_promise", amount_minor=5_000, **same)
            yield CreditEntry(kind="to_promise", amount_minor=-5_000, **same)


def receipts(size: int, owner) -> Iterator[Receipt]:
    for number in range(1, size + 1):
        if sold(number, size):
            yield Receipt(number=f"R{number:06d}", payment_id=number)


def book_lines(size: int, owner) -> Iterator[BookLine]:
    for number in range(1, size + 1):
        day, same = day_of(number, size), {"instrument_id": number, "recorded_by": owner}
        same |= {"happened_on": day, "entered_on": day, "description": "A piano"}
        yield BookLine(number=2 * number - 1, kind="bought", purchase_id=number, cost_minor=0, **same)
        if sold(number, size):
            yield BookLine(
                number=2 * number, kind="sold", sale_id=number, gross_minor=price_of(number), **same
            )


def leads(size: int, owner) -> Iterator[Lead]:
    for number in range(1, size // 2 + 1):
        is_new = number % 200 == 5
        yield Lead(
            number=f"L{number:06d}",
            person_id=seller_of(number, size),
            maker=MAKERS[number % 6],
            kind="upright",
            called_on=day_of(number * 2, size),
            taken_by=owner,
            state="new" if is_new else "declined",
            decision="" if is_new else "Too far gone",
            decided_on=None if is_new else day_of(number * 2, size),
        )


def enquiries(size: int, owner) -> Iterator[Enquiry]:
    for number in range(1, size // 2 + 1):
        is_open, day = number % 400 == 5, day_of(number * 2, size)
        yield Enquiry(
            number=f"E{number:06d}",
            mark_sha256=f"{number:064d}",
            words_sha256=f"{number:064d}",
            about="buy",
            instrument_id=number * 2,
            name="Nell Quist",
            email="nell@example.org",
            message="Is it still to be had?",
            came_at=at(day),
            answer_by=day,
            outcome="" if is_open else "nothing",
            closed_on=None if is_open else day,
        )


def wishes(size: int, owner) -> Iterator[Wanted]:
    for number in range(1, size // 50 + 1):
        is_open = number % 10 == 5
        yield Wanted(
            person_id=buyer_of(number, size),
            maker=MAKERS[number % 6],
            kind="upright",
            most_cm=115 + number % 15,
            asked_on=day_of(number * 2, size),
            asked_by=owner,
            closed_on=None if is_open else TODAY,
            closed_why="" if is_open else "Found elsewhere",
        )


TABLES = (
    people,
    instruments,
    statements,
    photos,
    findings,
    moves,
    purchases,
    costs,
    prices,
    orders,
    items,
    times,
    clearances,
    listings,
    promises,
    trials,
    sales,
    hand_overs,
    payments,
    credits,
    receipts,
    book_lines,
    leads,
    enquiries,
    wishes,
)
