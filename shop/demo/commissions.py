"""What customers wished: their own piano lightened, half done; a sold one polished, a change that waits."""

from datetime import date, timedelta
from decimal import Decimal

from shop.actions.commissions import approve_quote, issue_quote, next_version, open_commission
from shop.actions.papers import stored_paper
from shop.actions.taken_in import log_customers_instrument
from shop.actions.work_money import take_for_work
from shop.actions.work_papers import quote_paper_of
from shop.commissions import standing_of
from shop.demo.dealing import open_promise_on, seller
from shop.demo.diary import Diary
from shop.demo.pieces import Weighed
from shop.demo.shop_at_work import ShopAtWork
from shop.demo.touch import weigh
from shop.models import Commission, Quote
from workorders.actions.bench import log_time
from workorders.actions.items import assign_item, close_item

OWN, SOLD = "customers-own", "wexcombe-1899"
OWNER = "Annis Fothergale"
AS_FOUND = Weighed(naturals=12.7, sharps=15.2, uneven=1.4, humidity="52", who="ines")
PIANO = {
    "kind": "upright",
    "maker": "Dornstrand",
    "model": "Studio",
    "serial": "38 402",
    "serial_read_at": "on the frame",
    "made": "1931~",
    "made_basis": "serial",
    "height_cm": Decimal(118),
    "width_cm": Decimal(145),
    "key_count": 88,
    "case_wood": "walnut",
    "natural_covering": "celluloid",
    "sharp_covering": "stained",
}
LIGHTER = {"words": "Touch 3 g lighter, for small hands", "price_minor": 26_000, "touch_shift_g": Decimal(-3)}
SATIN = {
    "words": "Polish the case to satin",
    "price_minor": 64_000,
    "is_irreversible": True,
    "caution": "The old gloss is rubbed down and goes for good.",
}
BRASS = {"words": "Clean and lacquer the brass", "price_minor": 8_500}


def tell_commissions(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(33, lambda on: take_piano_in(shop, on))
    diary.on(32, lambda on: quote_lighter(shop, on))
    diary.on(27, lambda on: approve_lighter(shop, on))
    diary.on(12, lambda on: recentre(shop, on))
    diary.on(24, lambda on: wish_satin(shop, on))
    diary.on(22, lambda on: approve_satin(shop, on))
    diary.on(3, lambda on: change_satin(shop, on))


def take_piano_in(shop: ShopAtWork, on: date) -> None:
    taken_in = log_customers_instrument(
        identity=PIANO,
        person=shop.person(OWNER),
        until=on + timedelta(days=70),
        condition="Played every day and worn. Slow hammers in the middle; a ring mark on the lid.",
        accessories="Stool with a lift-up seat",
        terms="Dry and locked. It stays on its owner’s insurance. Brought back on a day agreed by telephone.",
        by=seller(shop),
        on=on,
    )
    shop.stock_numbers[OWN] = taken_in.instrument.stock_number
    weigh(OWN, AS_FOUND, shop, on)


def quote_lighter(shop: ShopAtWork, on: date) -> None:
    commission = open_commission(
        title="Re-centre, and a lighter touch",
        taken_in=shop.instrument(OWN).taken_in.get(),
        due_on=on + timedelta(days=60),
        note="For a teacher with small hands. Friction first.",
        by=seller(shop),
        on=on,
    )
    recentring = {
        "words": "Re-centre hammers and levers",
        "price_minor": 38_000,
        "task": shop.tasks(["recentre"])[0],
    }
    quote(commission, [recentring, LIGHTER], shop, on, deposit_minor=15_000, extras_cap_minor=4_000)


def approve_lighter(shop: ShopAtWork, on: date) -> None:
    commission = the_commission(OWN, shop)
    approve(commission.quotes.first(), OWNER, "Signed copy in the order folder", "signed", shop, on)
    take_for_work(
        commission=commission, amount_minor=15_000, method="card", reference="deposit", by=seller(shop), on=on
    )
    for item in commission.order.items.all():
        assign_item(item=item, to=shop.staff["ines"], by=shop.staff["olive"], on=on)


def recentre(shop: ShopAtWork, on: date) -> None:
    item = the_commission(OWN, shop).order.items.get(task__code="recentre")
    log_time(item=item, person=shop.staff["ines"], minutes=310, by=shop.staff["ines"], on=on)
    close_item(
        item=item,
        figure=Decimal(5),
        result="All 88 hammers and levers re-centred, one size up in the middle.",
        by=shop.staff["ines"],
        on=on,
    )


def wish_satin(shop: ShopAtWork, on: date) -> None:
    commission = open_commission(
        title="Polish to satin", promise=open_promise_on(SOLD, shop), by=seller(shop), on=on
    )
    quote(commission, [SATIN], shop, on)


def approve_satin(shop: ShopAtWork, on: date) -> None:
    commission = the_commission(SOLD, shop)
    approve(
        commission.quotes.first(),
        "Cuthbert Reeve, for the Singers",
        "in the shop’s mail, 16:05",
        "email",
        shop,
        on,
    )


def change_satin(shop: ShopAtWork, on: date) -> None:
    """Issued, and not answered yet: the work waits again."""
    quote(the_commission(SOLD, shop), [SATIN, BRASS], shop, on)


def the_commission(key: str, shop: ShopAtWork) -> Commission:
    return Commission.objects.get(order__instrument=shop.instrument(key))


def quote(commission: Commission, wishes: list[dict], shop: ShopAtWork, on: date, **terms) -> Quote:
    said = {"version": next_version(commission), "wishes": wishes, "valid_until": on + timedelta(days=30)}
    said |= terms
    pdf = quote_paper_of(standing_of(commission), on=on, **said)
    with stored_paper(f"{commission.number}-v{said['version']}", pdf) as stored:
        return issue_quote(commission=commission, stored=stored, by=seller(shop), on=on, **said)


def approve(quoted: Quote, name: str, reference: str, way: str, shop: ShopAtWork, on: date) -> None:
    approve_quote(
        quote=quoted,
        approved_by_name=name,
        way=way,
        approved_on=on,
        reference=reference,
        agreed=list(quoted.wishes.all()),
        by=seller(shop),
        on=on,
    )
