"""Invented weigh-offs. The same instrument always weighs the same."""

from datetime import date
from decimal import Decimal

from instruments.actions.weighing import begin_weighing, record_weighing, take_readings
from instruments.calc.compass import is_sharp
from instruments.calc.touchweight import target_g
from instruments.drawings.finish import Variety
from instruments.models import Instrument, Weighing
from shop.demo.pieces import Weighed
from shop.demo.shop_at_work import ShopAtWork

USUAL_FRICTION_G = 12.5
SECOND_AT_THE_BENCH = "ines"
HALF_GRAM = Decimal("0.5")


def weigh(key: str, weighed: Weighed, shop: ShopAtWork, on: date) -> Weighing:
    instrument = shop.instrument(key)
    told = {
        "instrument": instrument,
        "stage": weighed.stage,
        "humidity_percent": Decimal(weighed.humidity) if weighed.humidity else None,
        "note": weighed.note,
        "by": shop.staff[weighed.who],
        "on": on,
    }
    if weighed.left_at:
        return leave_open(begin_weighing(**told), weighed, shop)
    return record_weighing(readings=readings(instrument, weighed), **told)


def leave_open(weighing: Weighing, weighed: Weighed, shop: ShopAtWork) -> Weighing:
    """So many keys, and the one before the last typed over by somebody else."""
    read = readings(weighing.instrument, weighed)[: weighed.left_at]
    take_readings(weighing=weighing, readings=read, by=shop.staff[weighed.who])
    key, down, up = read[-2]
    take_readings(weighing=weighing, readings=[(key, down - 1, up)], by=shop.staff[SECOND_AT_THE_BENCH])
    return weighing


def readings(instrument: Instrument, weighed: Weighed) -> list[tuple[int, Decimal, Decimal]]:
    """(key, down-weight, up-weight) in grams for every key, to half a gram, as a person reads weights.

    Each key balances where its curve wants it at the usual friction; what rubs more shows as a higher
    down-weight with a lower up-weight.
    """
    variety = Variety(f"{instrument.stock_number} {weighed.stage}")
    pairs = []
    for position in range(1, instrument.key_count + 1):
        key = instrument.first_key + position - 1
        target = target_g(
            position,
            instrument.key_count,
            bass_g=instrument.touch_bass_g,
            middle_g=instrument.touch_middle_g,
            treble_g=instrument.touch_treble_g,
        )
        balance = (
            float(target) - USUAL_FRICTION_G + weighed.heavier + variety.between(f"weight {key}", -0.6, 0.6)
        )
        usual = weighed.sharps if is_sharp(key) else weighed.naturals
        friction = usual + variety.between(f"rubbing {key}", -weighed.uneven, weighed.uneven)
        pairs.append((key, half_grams(balance + friction), half_grams(balance - friction)))
    return pairs


def half_grams(grams: float) -> Decimal:
    return round(Decimal(str(grams)) / HALF_GRAM) * HALF_GRAM
