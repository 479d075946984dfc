"""What is known of a piano of ours, or of one that is offered to us, for holding a wish against it."""

from collections.abc import Iterable
from decimal import Decimal

from django.db.models import Avg, Count, Exists, Max, OuterRef, QuerySet, Subquery

from instruments.models import Instrument, KeyReading, Weighing
from instruments.states import Kind
from shop.calc.wanting import Offered
from shop.models import AskingPrice, Lead, Promise, ShopProfile
from shop.ownership import without_customers_own
from shop.states import ListingState

LEAST_KEYS_WEIGHED = 40  # a few keys say nothing of the whole keyboard


def free_stock():
    """What stands here promised to nobody, the newest first, each with `asked_minor` and its listing."""
    newest = AskingPrice.objects.filter(instrument=OuterRef("pk")).values("amount_minor")[:1]
    promised = Promise.objects.open().filter(instrument=OuterRef("pk"))
    stock = without_customers_own(Instrument.objects.all()).exclude(Exists(promised))
    return stock.select_related("listing", "tone").annotate(asked_minor=Subquery(newest)).order_by("-id")


def touch_offs(instruments: Iterable[Instrument]) -> dict[int, Decimal]:
    """Of each that was weighed off: the mean down-weight of the newest, less that of the shop's usual curve.

    In one query, however many. The usual curve runs straight from the lowest key to the middle and on to
    the highest, so its mean is a quarter of each end and half of the middle.
    """
    return offs_from(touch_means(each.pk for each in instruments))


def touch_means(keys: Iterable[int]) -> QuerySet:
    keys = list(keys)
    weighings = Weighing.objects.closed().filter(instrument__in=keys).order_by()
    newest = weighings.values("instrument").annotate(newest=Max("pk")).values_list("newest", flat=True)
    return (
        KeyReading.objects.filter(weighing__in=newest, replaced_by__isnull=True)
        .order_by()
        .values("weighing__instrument")
        .annotate(mean=Avg("down_g"), count=Count("pk"))
        .filter(count__gte=LEAST_KEYS_WEIGHED)
    )


def offs_from(means: Iterable[dict]) -> dict[int, Decimal]:
    shop = ShopProfile.current()
    usual = (shop.touch_bass_g + 2 * shop.touch_middle_g + shop.touch_treble_g) / 4
    return {
        each["weighing__instrument"]: Decimal(str(each["mean"])).quantize(Decimal("0.1")) - usual
        for each in means
    }


def offered_of(instrument: Instrument, touch_off_g: Decimal | None = None) -> Offered:
    """`instrument` as `free_stock` brings it; without a price of its own where it comes another way."""
    listing = getattr(instrument, "listing", None)
    return Offered(
        maker=makers_of(instrument),
        kind=instrument.kind,
        size_cm=instrument.height_cm if instrument.kind == Kind.UPRIGHT else instrument.length_cm,
        keys=instrument.key_count,
        price_minor=getattr(instrument, "asked_minor", None),
        touch_off_g=touch_off_g,
        said=_said_of(instrument, listing),
        finish=" ".join(filter(None, [instrument.get_case_wood_display(), instrument.case_finish])),
        is_ready=is_in_window(instrument),
    )


def _said_of(instrument: Instrument, listing) -> str:
    """What our listing says, and how it sounds to us."""
    tone = getattr(instrument, "tone", None)
    words = [listing.headline, listing.body] if listing else []
    return " ".join([*words, *(tone.labels if tone else [])])


def makers_of(instrument: Instrument) -> str:
    """Who made it and whose name it bears, for words to be looked for in."""
    return f"{instrument.maker} {instrument.name_on_fall}".strip()


def is_in_window(instrument: Instrument) -> bool:
    listing = getattr(instrument, "listing", None)
    return listing is not None and listing.state == ListingState.PUBLISHED


def offered_by(lead: Lead) -> Offered:
    return Offered(
        maker=lead.maker,
        kind=lead.kind,
        size_cm=lead.height_cm,
        keys=lead.key_count,
        price_minor=lead.asking_minor,
        said=f"{lead.story} {lead.every_note}",
        stands_at=lead.place,
    )
