"""Invented measurements: pins, pitch, plain wire, the air of rooms; the same piece measures the same."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from instruments.actions.measures import (
    choose_way,
    record_climate,
    record_pins,
    record_pitch,
    record_wires,
    set_house_pitch,
)
from instruments.calc.compass import top_key
from instruments.calc.pin_surveys import Pin
from instruments.drawings.finish import Variety
from instruments.models import Instrument, PinSurvey, PitchSurvey
from instruments.states import PitchStage, RaiseWay, TorqueUnit, Whose
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork

HOUSE_PITCH_DAYS_AGO = 530
TOBIAS = "tobias"


@dataclass(frozen=True, kw_only=True)
class PinsTried:
    """`low` of the pins read lie between `lowest` and 4.9 N·m, the others from 5.2 up to `highest`.

    `again` re-reads every so many of them later: (days ago, humidity, how many gave way).
    """

    key: str
    days_ago: int
    every: int
    lowest: float
    highest: float
    low: int = 0
    humidity: str = ""
    note: str = ""
    is_whole: bool = False
    again: tuple[int, str, int] | None = None


PINS = (
    PinsTried(key="halden-1912", days_ago=374, every=4, lowest=5.8, highest=10.4, humidity="56"),
    PinsTried(key="thursby-1904", days_ago=37, every=4, lowest=6.1, highest=10.2, humidity="54"),
    PinsTried(
        key="hathersley-grand",
        days_ago=107,
        every=1,
        lowest=3.2,
        highest=8.1,
        low=22,
        humidity="50",
        note="Every pin, before the tension comes down.",
        is_whole=True,
        again=(86, "42", 3),
    ),
)

# (days ago, stage, A4 in cents, bass and treble beside it, humidity, temperature, note)
PITCH = (
    ("halden-1912", 387, PitchStage.AS_FOUND, -46, 7, -11, "57", "17", "Even; no slipped unison."),
    (
        "wendelbruck-1911",
        168,
        PitchStage.AS_FOUND,
        -61,
        4,
        -9,
        "54",
        "18",
        "Left as it is until the bridge is done.",
    ),
)

# Speaking length and wire, mm, of the Halden's plain strings: (note's key, length, diameter).
WIRES = ((28, 1040, "1.175"), (40, 640, "1.05"), (49, 392, "1"), (61, 204, "0.925"), (73, 104, "0.85"))

# (days ago, whose, room, °C, % RH, beside which piece, note)
AIR = (
    (300, Whose.OURS, "Showroom", "20", "47", "halden-1912", ""),
    (60, Whose.OURS, "Workshop", "18.5", "52", "", "Stove lit in the morning."),
    (26, Whose.OURS, "Store", "11", "68", "dunmarrow-1934", "Outer wall; the dehumidifier was off."),
    (18, Whose.CUSTOMER, "Salt Lane, front room", "22.5", "33", "", "Radiator under the window."),
    (9, Whose.OURS, "Store", "12.5", "61", "", "Dehumidifier running again."),
    (4, Whose.OURS, "Showroom", "19.5", "45", "", ""),
    (3, Whose.OURS, "Workshop", "19", "49", "thursby-1904", ""),
)


def tell_measures(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(
        HOUSE_PITCH_DAYS_AGO,
        lambda on: set_house_pitch(
            a4_hz=Decimal(440), reason="Everything to 440 that will bear it", by=shop.staff["olive"]
        ),
    )
    for tried in PINS:
        diary.on(tried.days_ago, lambda on, tried=tried: try_pins_once(tried, shop, on))
        if tried.again:
            diary.on(tried.again[0], lambda on, tried=tried: try_again(tried, shop, on))
    for key, days_ago, *read in PITCH:
        diary.on(days_ago, lambda on, key=key, read=read: read_pitch(key, *read, shop=shop, on=on))
    diary.on(383, lambda on: put_the_choice(shop))
    diary.on(378, lambda on: measure_wires(shop, on))
    for days_ago, *read in AIR:
        diary.on(days_ago, lambda on, read=read: read_air(*read, shop=shop, on=on))


def tried_as_told(key: str, result: str) -> PinsTried:
    """As its table has it, or as its job was written up: "lowest 5.8, usual 8, highest 10.4 N·m"."""
    if tried := next((each for each in PINS if each.key == key), None):
        return tried
    lowest, highest = (
        float(re.search(rf"{word} ([\d.]+\d|\d+)", result)[1]) for word in ("lowest", "highest")
    )
    air = re.search(r"(\d+) % RH", result)
    return PinsTried(
        key=key, days_ago=0, every=4, lowest=lowest, highest=highest, humidity=air[1] if air else "52"
    )


def try_pins_once(tried: PinsTried, shop: ShopAtWork, on: date) -> None:
    """Unless its job on the bench has measured them already."""
    if not shop.instrument(tried.key).pin_surveys.exists():
        try_pins(tried, shop, on)


def try_pins(tried: PinsTried, shop: ShopAtWork, on: date) -> PinSurvey:
    instrument = shop.instrument(tried.key)
    return record_pins(
        instrument=instrument,
        readings=[(*pin, torque) for pin, torque in torques(instrument, tried).items()],
        unit=TorqueUnit.NEWTON_METRE,
        is_whole=tried.is_whole,
        humidity_percent=Decimal(tried.humidity),
        note=tried.note,
        by=shop.staff[TOBIAS],
        on=on,
    )


def try_again(tried: PinsTried, shop: ShopAtWork, on: date) -> None:
    """Every ninth pin once more: a little looser in drier air, and some that gave way."""
    instrument, (_, humidity, gone) = shop.instrument(tried.key), tried.again
    sample = list(torques(instrument, tried).items())[::9]
    readings = [
        (*pin, tenths(float(torque) * (0.72 if place % 8 == 3 and place // 8 < gone else 0.97)))
        for place, (pin, torque) in enumerate(sample)
    ]
    record_pins(
        instrument=instrument,
        readings=readings,
        unit=TorqueUnit.NEWTON_METRE,
        humidity_percent=Decimal(humidity),
        note="Three weeks on, to see what stays.",
        by=shop.staff[TOBIAS],
        on=on,
    )


def torques(instrument: Instrument, tried: PinsTried) -> dict[Pin, Decimal]:
    """One reading for every so many pins, the lowest and the highest among them."""
    variety = Variety(f"pins of {tried.key}")
    pins = list(all_pins(instrument))[:: tried.every]
    order = sorted(pins, key=lambda pin: variety.between(f"order {pin}", 0, 1))
    least = 5.2 if tried.low else tried.lowest + 0.2
    found = {
        pin: variety.between(f"low {pin}", tried.lowest, 4.9)
        if place < tried.low
        else variety.between(f"torque {pin}", least, tried.highest)
        for place, pin in enumerate(order)
    }
    found[order[0]], found[order[-1]] = tried.lowest, tried.highest
    return {pin: tenths(found[pin]) for pin in pins}


def all_pins(instrument: Instrument) -> Iterator[Pin]:
    """Nine single strings, nine pairs, and threes from there up."""
    for position in range(instrument.key_count):
        strings = 1 if position < 9 else 2 if position < 18 else 3
        for string in range(1, strings + 1):
            yield instrument.first_key + position, string


def read_tuning(key: str, stage: str, a4: float, shop: ShopAtWork, on: date) -> PitchSurvey:
    """Every A and C after a tuning: A4 as written down, the others near a stretched scale."""
    instrument = shop.instrument(key)
    variety = Variety(f"tuning of {key} {stage}")
    last = top_key(instrument.first_key, instrument.key_count)
    read = [note for note in range(instrument.first_key, last + 1) if note % 12 in {1, 4}]
    stretch = {note: (note - 43) / 12 if note > 49 else min(0, (note - 37) / 24) for note in read}
    return record_pitch(
        instrument=instrument,
        readings=[
            (note, tenths(a4 + stretch[note] + (note != 49) * variety.between(f"note {note}", -0.3, 0.3)))
            for note in read
        ],
        unit="cents",
        stage=stage,
        by=shop.staff[TOBIAS],
        on=on,
    )


def read_pitch(key, stage, a4, bass, treble, humidity, temperature, note, *, shop, on) -> None:
    """Every A and C: the ends lie off A4 by `bass` and `treble` cents, the others in proportion."""
    instrument = shop.instrument(key)
    variety = Variety(f"pitch of {key} {stage}")
    readings = []
    for note_key in sorted(
        {*range(1, instrument.key_count + 1, 12), *range(4, instrument.key_count + 1, 12)}
    ):
        lean = bass * (49 - note_key) / 48 if note_key < 49 else treble * (note_key - 49) / 39
        stray = 0 if note_key == 49 else variety.between(f"note {note_key}", -1.5, 1.5)
        readings.append((note_key, tenths(a4 + lean + stray)))
    record_pitch(
        instrument=instrument,
        readings=readings,
        unit="cents",
        stage=stage,
        humidity_percent=Decimal(humidity),
        temperature_c=Decimal(temperature),
        note=note,
        by=shop.staff[TOBIAS],
        on=on,
    )


def put_the_choice(shop: ShopAtWork) -> None:
    survey = PitchSurvey.objects.get(instrument=shop.instrument("halden-1912"))
    note = "Ours to sell: raised, and a month given to settle before it is offered."
    choose_way(survey=survey, way=RaiseWay.PITCH, note=note, by=shop.staff["olive"])


def measure_wires(shop: ShopAtWork, on: date) -> None:
    record_wires(
        instrument=shop.instrument("halden-1912"),
        readings=[(key, Decimal(length), Decimal(wire), 3, "") for key, length, wire in WIRES],
        note="Before the raise, to see what 440 asks of the old wire.",
        by=shop.staff[TOBIAS],
        on=on,
    )


def read_air(whose, room, temperature, humidity, key, note, *, shop: ShopAtWork, on: date) -> None:
    record_climate(
        whose=whose,
        room=room,
        temperature_c=Decimal(temperature),
        humidity_percent=Decimal(humidity),
        instrument=shop.instrument(key) if key else None,
        note=note,
        by=shop.staff[TOBIAS],
        on=on,
    )


def tenths(value: float) -> Decimal:
    return round(Decimal(str(value)), 1)
