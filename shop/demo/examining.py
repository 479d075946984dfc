"""Walking round an instrument of the demo: one condition report, line by line, and closed."""

from datetime import date
from decimal import Decimal

from instruments.actions.condition_reports import begin_report, close_report
from instruments.actions.findings import record_finding
from instruments.actions.photos import add_photos, describe_photo
from instruments.calc.condition.comparing import Value
from instruments.library import condition_measures
from instruments.models import Photo
from shop.demo.pictures import TAKEN_LATER
from shop.demo.pieces import Found
from shop.demo.shop_at_work import ShopAtWork


def examine(
    key: str,
    findings: tuple[Found, ...],
    shop: ShopAtWork,
    on: date,
    *,
    occasion: str,
    is_closed: bool = True,
) -> None:
    instrument = shop.instrument(key)
    report = begin_report(
        instrument=instrument,
        occasion=occasion,
        looked_on=on,
        temperature_c=Decimal(17 + on.day % 5),
        humidity_percent=Decimal(44 + on.toordinal() * 7 % 13),
        by=shop.staff[findings[0].who],
    )
    for found in findings:
        record_finding(
            instrument=instrument,
            report=report,
            part=found.part,
            condition=found.condition,
            note=found.note,
            keys=found.keys,
            signs=list(found.signs),
            values=[measured(*each) for each in found.measured],
            photo=pictured(key, found, shop),
            is_public=found.public,
            by=shop.staff[found.who],
            on=on,
        )
    if is_closed:
        close_report(report=report, by=shop.staff[findings[-1].who])


def measured(code: str, given: str) -> Value:
    measure = next(each for each in condition_measures() if each.code == code)
    if measure.answers:
        return Value(code, measure.name, answer=measure.words_of(given))
    return Value(code, measure.name, number=Decimal(given), unit=measure.unit)


def pictured(key: str, found: Found, shop: ShopAtWork) -> Photo | None:
    """The picture of that kind that the instrument has, or the one taken now."""
    if found.shot in TAKEN_LATER:
        shot, by = shop.later_shots[key].result(), shop.staff[found.who]
        (photo,) = add_photos(instrument=shop.instrument(key), prepared=[shot.photo], by=by).new
        return describe_photo(photo=photo, by=by, shot="keys", caption=shot.caption)
    return shop.instrument(key).photos.filter(shot=found.shot).first() if found.shot else None
