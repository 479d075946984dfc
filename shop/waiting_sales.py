"""What waits of sales: to be delivered, to be mended for their buyers, and to be paid back by a day."""

from datetime import date, timedelta

from django.db.models import DateField, Exists, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from instruments.models.together import asking, hand_on_each
from instruments.states import Place
from shop.calc.deadlines import DELIVERY_DAYS, deliver_by
from shop.models import HandedOver, RepairAsked, Sale, SaleDelivery, SaleNotice, ShopProfile
from shop.refund_days import refund_day
from shop.states import Jurisdiction
from shop.waiting_lines import MOST, SOON, Group, Waiting, day_words, named

LOOKED_AT = 60


@asking
def to_be_delivered(on: date):
    """Agreed days, and where none was agreed the 30 days of the law, where that is ours."""
    (sales,) = yield (_not_handed_over(on)[:LOOKED_AT],)
    due = [(sale.planned_on or deliver_by(sale.sold_on), sale) for sale in sales]
    due.sort(key=lambda pair: (pair[0], pair[1].pk))
    lines = [
        Waiting(
            f"{named(sale.instrument)} to {sale.person}",
            f"{'Agreed' if sale.planned_on else 'No day agreed; by law'}: {day_words(day, on)}",
            sale.get_absolute_url(),
            is_late=day < on,
        )
        for day, sale in due[:MOST]
    ]
    return [Group("Sold, to be delivered", lines)] if lines else []


def _not_handed_over(on: date) -> QuerySet:
    planned = SaleDelivery.objects.filter(sale=OuterRef("pk")).order_by("-id").values("planned_on")[:1]
    rows = (
        unsettled_sales()
        .exclude(instrument__place=Place.CUSTOMER)
        .filter(~Exists(HandedOver.objects.filter(sale=OuterRef("pk"))))
        .annotate(planned_on=Subquery(planned, output_field=DateField()))
    )
    soon = Q(planned_on__lte=on + SOON)
    if ShopProfile.current().jurisdiction == Jurisdiction.UK:
        soon |= Q(planned_on__isnull=True, sold_on__lte=on + SOON - timedelta(days=DELIVERY_DAYS))
    return (
        rows.filter(soon).select_related("instrument", "person").order_by(Coalesce("planned_on", "sold_on"))
    )


def standing_sales() -> QuerySet[Sale]:
    """That stand and that no buyer is ending: what is to be paid, brought or mended is asked of these."""
    return Sale.objects.filter(promise__closed_at__isnull=True).exclude(pk__in=ending_sales())


def unsettled_sales() -> QuerySet[Sale]:
    """Of those the ones with something to pay or to bring, and few more: not those settled long ago."""
    return standing_sales().filter(promise__is_settled=False)


def ending_sales() -> QuerySet:
    """The keys of sales whose buyer has given notice; of those that have ended too, so ask of what stands."""
    return _newest_notices().order_by().values("sale")


def _newest_notices() -> QuerySet[SaleNotice]:
    newer = SaleNotice.objects.filter(sale=OuterRef("sale"), pk__gt=OuterRef("pk"))
    return SaleNotice.objects.filter(~Exists(newer), is_taken_back=False)


def notices_standing() -> QuerySet[SaleNotice]:
    """By which buyers end sales that stand still; the newest of each sale, the oldest first."""
    return (
        _newest_notices()
        .filter(sale__promise__closed_at__isnull=True)
        .select_related("sale__instrument", "sale__person", "sale__promise", "sale__from_trial")
        .order_by("told_on", "id")
    )


@asking
def notices_to_answer(most: int | None = None):
    """The first of these, each with what `refund_day` asks of its sale."""
    (notices,) = yield (notices_standing()[:most],)
    sales = [notice.sale for notice in notices]
    (handed,) = yield (HandedOver.objects.filter(sale__in=[sale.pk for sale in sales]),)
    hand_on_each(sales, hand_overs=(handed, "sale_id"))
    return notices


@asking
def to_be_given_back(on: date):
    """Buyers who have ended a sale: by when they are paid back, or what that still waits for."""
    notices = yield from notices_to_answer.later(LOOKED_AT)
    due = [(refund_day(notice.sale, notice), notice) for notice in notices]
    due.sort(key=lambda pair: (pair[0].by or date.max, pair[1].pk))
    lines = [
        Waiting(
            f"{named(notice.sale.instrument)} of {notice.sale.person}",
            f"To be given back by {day.by:%-d %B}: {day_words(day.by, on)}"
            if day.by
            else f"To be given back {day.words}",
            notice.sale.get_absolute_url(),
            is_late=bool(day.by and day.by < on),
        )
        for day, notice in due[:MOST]
    ]
    return [Group("Sales that end: money to give back", lines)] if lines else []


@asking
def repairs_asked_for(on: date):
    rows = RepairAsked.objects.filter(back__isnull=True, sale__in=standing_sales())
    (rows,) = yield (rows.select_related("sale__instrument", "sale__person").order_by("asked_on")[:MOST],)
    lines = [
        Waiting(
            f"{named(asked.sale.instrument)} of {asked.sale.person}",
            f"{asked.what}. Asked for {(on - asked.asked_on).days} days ago; the days to reject stand still",
            asked.sale.get_absolute_url(),
        )
        for asked in rows
    ]
    return [Group("Buyers who wait for a repair", lines)] if lines else []
