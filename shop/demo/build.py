"""Build the whole invented shop, or nothing of it."""

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from instruments.actions.leads import keep_lead_size
from instruments.actions.serial_marks import add_serial_marks
from instruments.models import LeadSize
from shop.actions.people import add_person
from shop.actions.profile import change_profile
from shop.actions.staff import add_person_at_work
from shop.demo.after_care import tell_after_care
from shop.demo.bench_days import tell_bench_days
from shop.demo.books import tell_books
from shop.demo.buying import tell_buying
from shop.demo.commissions import tell_commissions
from shop.demo.dealing import tell_dealings
from shop.demo.diary import Diary
from shop.demo.enquiring import tell_enquiries
from shop.demo.hours import tell_hours
from shop.demo.lending import tell_trials
from shop.demo.mark import mark
from shop.demo.measures import tell_measures
from shop.demo.people import CUSTOMERS, SELLERS, SHOP, STAFF, Card
from shop.demo.pictures import PICTURE_PX, painted
from shop.demo.plans import tell_plans
from shop.demo.serials import MARKS
from shop.demo.shop_at_work import ShopAtWork
from shop.demo.sounds import tell_sounds
from shop.demo.stock.all_pieces import PIECES
from shop.demo.stores import tell_stores
from shop.demo.telling import tell
from workorders.actions.bench import set_rate
from workorders.models import Task
from workorders.states import Acceptance

OPENED_DAYS_AGO = 540
LEADS = (("Quarter-inch", "2.9", "6.4"), ("Three-eighths", "7.4", "9.5"), ("Half-inch", "14.4", "12.7"))
BENCH_RATES = ((OPENED_DAYS_AGO, 2600, None), (OPENED_DAYS_AGO, 2200, "ines"), (300, 2800, None))


def build_demo(*, today: date, report: Callable[[date], object], picture_px: int = PICTURE_PX) -> ShopAtWork:
    """Needs a migrated, prepared, empty database. `report` is told each day that is written up.

    All of it is one transaction, files and papers too: nobody else is there yet to be kept waiting.
    """
    shown_after = set(
        Task.objects.filter(acceptance__in=(Acceptance.PHOTO, Acceptance.PAIR)).values_list("code", flat=True)
    )
    painting = painted(PIECES, shown_after=shown_after, picture_px=picture_px)
    with painting as (album, after), transaction.atomic():
        mark(on=today)
        shop = ShopAtWork(staff=hire(), picture_px=picture_px, shots_after=after)
        diary = Diary(today)
        diary.on(OPENED_DAYS_AGO, lambda on: open_doors(shop, on))
        for days_ago, per_hour_minor, who in BENCH_RATES:
            diary.on(
                days_ago,
                lambda on, rate=per_hour_minor, who=who: set_rate(
                    per_hour_minor=rate,
                    since=on,
                    person=shop.staff[who] if who else None,
                    by=shop.staff["olive"],
                ),
            )
        tell_hours(shop, diary)
        for piece in PIECES:
            tell(piece, shop, diary, album[piece.key])
        tell_measures(shop, diary)
        tell_sounds(shop, diary)
        tell_bench_days(shop, diary)
        tell_trials(shop, diary)
        tell_dealings(shop, diary)
        tell_plans(shop, diary)
        tell_buying(shop, diary, album)
        tell_enquiries(shop, diary)
        tell_commissions(shop, diary)
        tell_after_care(shop, diary)
        tell_stores(shop, diary)
        tell_books(shop, diary)
        diary.live(report)
    return shop


def hire() -> dict[str, User]:
    return {
        person.username: add_person_at_work(
            username=person.username, name=person.name, password=person.password, roles=person.roles
        )
        for person in STAFF
    }


def open_doors(shop: ShopAtWork, on: date) -> None:
    change_profile(by=shop.staff["olive"], **SHOP)
    introduce(SELLERS, shop, by=shop.staff["bram"])
    introduce(CUSTOMERS, shop, by=shop.staff["selma"])
    add_serial_marks(rows=MARKS, by=shop.staff["bram"])
    for name, mass, diameter in LEADS:
        size = LeadSize(name=name, mass_g=Decimal(mass), diameter_mm=Decimal(diameter))
        keep_lead_size(size=size, by=shop.staff["tobias"])


def introduce(cards: Iterable[Card], shop: ShopAtWork, *, by: User) -> None:
    for card in cards:
        person = add_person(
            name=card.name,
            address=card.address,
            telephone=card.telephone,
            email=card.email,
            note=card.note,
            by=by,
        )
        shop.people[card.name] = person.pk
