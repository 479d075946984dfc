"""The offer calculator: figures to begin with, what they come to, and how that moves with each of them."""

from datetime import date
from decimal import Decimal

from django.db.models import Sum

from instruments.calc.exact import plain
from instruments.drawings.shapes import Drawing
from instruments.drawings.swing_chart import Bar, swing_drawing
from instruments.models import Instrument
from shop.calc.ivory import registration_fee_minor
from shop.calc.offer import SWUNG, OfferFigures, Swing, how_it_moves
from shop.models import Lead, OfferCalculation, ShopProfile
from shop.states import Jurisdiction, ProtectedTold
from shop.tax_rates import tax_rate_on
from workorders.currency import in_words
from workorders.models import BenchRate, WorkItem
from workorders.to_work import needs_of

LABELS = {name: str(OfferCalculation._meta.get_field(name).verbose_name) for name in SWUNG}


def figures_of(row: OfferCalculation) -> OfferFigures:
    """The figures of a kept calculation, by the tax it was made with."""
    values = {name: getattr(row, name) for name in SWUNG}
    return OfferFigures(**values, vat_rate=row.rate_percent / 100, scheme=row.scheme)


def figures_on(day: date, values: dict) -> OfferFigures:
    """By the shop's tax of that day; refused where nobody wrote down its rate."""
    profile = ShopProfile.current()
    return OfferFigures(**values, vat_rate=tax_rate_on(profile, day), scheme=profile.tax_scheme)


def beginning_of(lead: Lead | None, instrument: Instrument | None, *, on: date) -> dict:
    """What to begin with where nothing was calculated yet: the bench's rate, hours of what was found."""
    rate = BenchRate.objects.filter(person__isnull=True, since__lte=on).first()
    begin = {"rate_minor": rate.per_hour_minor if rate else 0}
    if instrument is not None:
        begin["hours"] = hours_found(instrument)
        price = instrument.asking_prices.first()
        begin["sale_minor"] = price.amount_minor if price else None
    in_uk = ShopProfile.current().jurisdiction == Jurisdiction.UK
    ivory_told = lead is not None and lead.protected_told == ProtectedTold.IVORY
    if in_uk and (ivory_told or (instrument is not None and instrument.may_be_ivory)):
        begin["registration_minor"] = registration_fee_minor(1)
    return begin


def hours_found(instrument: Instrument) -> Decimal:
    """Usual time of the open work, and of the tasks suggested for what was found and is no work yet."""
    open_items = WorkItem.objects.open().filter(order__instrument=instrument)
    minutes = open_items.aggregate(sum=Sum("usual_minutes"))["sum"] or 0
    tasks = {
        need.suggested.pk: need.suggested for need in needs_of(instrument) if need.is_free and need.suggested
    }
    minutes += sum(task.usual_minutes for task in tasks.values())
    return round(Decimal(minutes) / 60, 2)


def lines_of(figures: OfferFigures) -> list[tuple[str, str, int]]:
    """From the sale price down to the most we may pay: label, basis, amount in minor units."""
    hours = f"{plain(figures.hours)} h at {in_words(figures.rate_minor)}"
    costs = [("Bench work", hours, figures.work_minor)] + [
        (LABELS[name][:1].upper() + LABELS[name][1:], "", getattr(figures, name))
        for name in SWUNG
        if name not in {"sale_minor", "hours", "rate_minor", "profit_minor"}
    ]
    tax = figures.tax_minor
    return [
        ("Expected sale price", "", figures.sale_minor),
        *((label, basis, -amount) for label, basis, amount in costs if amount),
        ("Profit wanted", "", -figures.profit_minor),
        *([("Our tax on it, if that is paid", "", -tax)] if tax else []),
    ]


def swings_of(figures: OfferFigures) -> list[dict]:
    """The table of how it moves, the widest first."""
    return [
        {
            "label": LABELS[swing.name][:1].upper() + LABELS[swing.name][1:],
            "lower": _words(swing.name, swing.lower),
            "higher": _words(swing.name, swing.higher),
            "if_lower": swing.most_if_lower_minor,
            "if_higher": swing.most_if_higher_minor,
        }
        for swing in how_it_moves(figures)
    ]


def swing_picture(figures: OfferFigures) -> Drawing:
    bars = [
        Bar(_label(swing), swing.most_if_lower_minor, swing.most_if_higher_minor, _told(swing))
        for swing in how_it_moves(figures)
    ]
    most = in_words(figures.most_minor)
    return swing_drawing(
        bars, result=figures.most_minor, result_words=most, name="How the most we may pay moves"
    )


def _label(swing: Swing) -> str:
    return f"{LABELS[swing.name][:1].upper()}{LABELS[swing.name][1:]}, a tenth less or more"


def _told(swing: Swing) -> str:
    return (
        f"{LABELS[swing.name]}: {in_words(swing.most_if_lower_minor)} with a tenth less, "
        f"{in_words(swing.most_if_higher_minor)} with a tenth more"
    )


def _words(name: str, value) -> str:
    return f"{plain(value)} h" if name == "hours" else in_words(value)
