"""Pianos that people offer, what customers look for, and what is bought, exchanged or sold for its owner."""

from datetime import date, timedelta
from decimal import Decimal

from instruments.actions.moves import move_instrument
from shop.actions.buying import buy
from shop.actions.leads import add_lead_photos, decide_lead, take_lead
from shop.actions.money import set_price
from shop.actions.offers import keep_calculation
from shop.actions.owner_papers import owners_agreement_paper
from shop.actions.people import add_person
from shop.actions.photo_links import make_link
from shop.actions.purchase_papers import purchase_invoice_paper
from shop.actions.sale_or_return import take_on_sale_or_return
from shop.actions.wanted import keep_wanted
from shop.demo.diary import Diary
from shop.demo.pictures import Album
from shop.demo.shop_at_work import ShopAtWork
from shop.models import Lead, Wanted

UPRIGHT = {
    "kind": "upright",
    "key_count": 85,
    "first_key": 1,
    "natural_covering": "celluloid",
    "sharp_covering": "stained",
}
BOUGHT = UPRIGHT | {
    "maker": "Marlowe & Tench",
    "serial": "20914",
    "serial_read_at": "on the frame, top left",
    "made": "1926~",
    "made_basis": "told",
    "height_cm": Decimal(124),
    "stringing": "overstrung",
    "damping": "under",
    "frame": "full_iron",
    "case_wood": "mahogany",
    "place": "seller",
}
FIGURES = {
    "sale_minor": 169_000,
    "hours": Decimal(8),
    "rate_minor": 2_800,
    "parts_minor": 9_500,
    "transport_minor": 14_000,
    "registration_minor": 0,
    "tuning_minor": 13_000,
    "storage_minor": 6_000,
    "delivery_minor": 7_500,
    "reserve_minor": 9_000,
    "profit_minor": 25_000,
}


def tell_buying(shop: ShopAtWork, diary: Diary, album: Album) -> None:
    diary.on(44, lambda on: wishes(shop, on))
    diary.on(41, lambda on: offered(shop, on))
    diary.on(36, lambda on: bought(shop, on))
    diary.on(34, lambda on: exchanged(shop, on))
    diary.on(33, lambda on: for_its_owner(shop, on))
    diary.on(9, lambda on: ivory_for_nothing(shop, on))
    diary.on(5, lambda on: visit_planned(shop, on))
    diary.on(2, lambda on: just_rung(shop, on, album))


def wishes(shop: ShopAtWork, on: date) -> None:
    looked_for = (
        {"person": shop.person("Maisie Tullow"), "maker": "Dornstrand", "most_minor": 400_000},
        {"person": shop.person("Yusuf Demirel"), "kind": "upright", "most_cm": 118, "least_keys": 85},
        {"maker": "Halden & Rook", "kind": "grand", "note": "For the showroom; walnut if it can be."},
    )
    for wish in looked_for:
        wanted = Wanted(asked_on=on, asked_by=shop.staff["selma"], **wish)
        keep_wanted(wanted=wanted, by=shop.staff["selma"])


def offered(shop: ShopAtWork, on: date) -> None:
    bram = shop.staff["bram"]
    lead = take_lead(
        caller="Verity Holm",
        telephone="01632 960171",
        how_found="tuner",
        place="Long Acre, Thrupley",
        maker="Marlowe & Tench",
        kind="upright",
        height_cm=Decimal(124),
        key_count=85,
        serial="20914",
        age_told="about a hundred years",
        age_why="bought when her mother was born",
        last_tuned="two years ago, by the man from Wenlow",
        last_moved="1998",
        every_note="All sound; a semitone flat; one buzz low down.",
        protected_told="none",
        reason_for_sale="The house is sold",
        asking_minor=40_000,
        access="Ground floor, two steps, wide door",
        story="Her mother learned on it, and nobody has played it since.",
        by=bram,
        on=on,
    )
    keep_calculation(
        lead=lead, values=FIGURES, note="Three like it sold nearby since spring.", by=bram, on=on
    )
    decide_lead(
        lead=lead,
        state="offered",
        offered_minor=38_000,
        reason="Whole, and the plank held 9 N·m where tried.",
        by=bram,
        on=on,
    )


def bought(shop: ShopAtWork, on: date) -> None:
    bram = shop.staff["bram"]
    seller = add_person(name="Verity Holm", address="Long Acre\nThrupley", telephone="01632 960171", by=bram)
    purchase = buy(
        identity=BOUGHT,
        seller=seller,
        route="private",
        price_minor=38_000,
        bought_on=on,
        right_to_sell="owner",
        protected_told="none",
        told="Her mother learned on it, and nobody has played it since.",
        teller="last_owner",
        note="Paid by transfer on collection.",
        lead=Lead.objects.get(caller="Verity Holm"),
        by=bram,
        on=on,
    )
    purchase_invoice_paper(purchase=purchase, by=bram)
    move_instrument(instrument=purchase.instrument, place="store", by=bram, on=on)


def exchanged(shop: ShopAtWork, on: date) -> None:
    """The Singers' old piano comes off the price of theirs; they have had it for a week."""
    bram, sale = shop.staff["bram"], shop.instrument("wexcombe-1899").sales.get()
    old = UPRIGHT | {
        "maker": "Pell & Carraway",
        "serial": "7741",
        "height_cm": Decimal(117),
        "place": "store",
    }
    purchase = buy(
        identity=old,
        seller=sale.person,
        route="part_exchange",
        price_minor=15_000,
        bought_on=on,
        right_to_sell="agent",
        protected_told="none",
        told="It stood in the vestry; the organist kept it in tune.",
        teller="church",
        sale=sale,
        by=bram,
        on=on,
    )
    purchase_invoice_paper(purchase=purchase, by=bram)


def for_its_owner(shop: ShopAtWork, on: date) -> None:
    bram = shop.staff["bram"]
    agreement = take_on_sale_or_return(
        identity=UPRIGHT
        | {"maker": "Orlestone", "serial": "3310", "height_cm": Decimal(121), "place": "showroom"},
        owner=shop.person("Ottoline Brice"),
        share_percent=70,
        least_minor=90_000,
        begins_on=on,
        until=on + timedelta(days=180),
        payout_days=14,
        may_be_lent=True,
        terms="Insured by its owner’s household policy until it is sold.",
        by=bram,
        on=on,
    )
    owners_agreement_paper(agreement=agreement, by=bram)
    set_price(instrument=agreement.instrument, amount_minor=118_000, by=shop.staff["selma"], on=on)


def ivory_for_nothing(shop: ShopAtWork, on: date) -> None:
    lead = take_lead(
        caller="A man at Harbour Road",
        maker="unknown",
        kind="upright",
        age_told="Victorian",
        protected_told="ivory",
        asking_minor=0,
        story="Only the mover’s fee is to be paid first, to a friend of his.",
        by=shop.staff["selma"],
        on=on,
    )
    decide_lead(
        lead=lead,
        state="declined",
        reason="Wants a mover’s fee before anybody has seen a piano.",
        by=shop.staff["selma"],
        on=on,
    )


def visit_planned(shop: ShopAtWork, on: date) -> None:
    lead = take_lead(
        person=shop.person("Bettina Crail"),
        how_found="known",
        place="6 Orchard Bank, Hexmoor",
        maker="Dornstrand",
        kind="grand",
        age_told="before the first war",
        age_why="a medal of 1908 in the lid",
        last_tuned="every spring",
        protected_told="not_known",
        asking_minor=250_000,
        access="First floor; it came in by the window",
        by=shop.staff["bram"],
        on=on,
    )
    decide_lead(
        lead=lead,
        state="visit",
        visit_on=on + timedelta(days=8),
        reason="A make that Maisie Tullow looks for.",
        by=shop.staff["bram"],
        on=on,
    )


def just_rung(shop: ShopAtWork, on: date, album: Album) -> None:
    bram = shop.staff["bram"]
    lead = take_lead(
        caller="Corin Vane",
        telephone="07700 900172",
        how_found="window",
        place="Ferry Lane, Wenlow",
        maker="Pell & Carraway",
        kind="upright",
        key_count=85,
        age_told="1930s",
        reason_for_sale="Moving to a flat",
        asking_minor=20_000,
        access="Ground floor",
        by=bram,
        on=on,
    )
    make_link(lead=lead, by=bram, on=on)
    decide_lead(lead=lead, state="photos", reason="Serial number first, then the plank.", by=bram, on=on)
    shots = next(iter(album.values()))[:2]
    add_lead_photos(lead=lead, prepared=[shot.result().photo for shot in shots], by=bram)
