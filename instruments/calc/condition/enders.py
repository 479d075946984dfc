"""Findings that usually end a purchase. They are told, with why; a person decides.

The list is the trade's own order of deal-breakers: common practice, no source. Loose bars alone end
nothing; with a dead treble they do on an ordinary upright. Torque is read by `calc.pins`, whose bands are
published; the twelve seconds of A5 are one worker's rule.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from instruments.calc.exact import plain
from instruments.calc.pins import BANDS, torque_band

UNLESS_VALUED = "This usually ends a purchase, unless the instrument is a valued one and the work is priced."
FOR_GOOD = "This usually ends a purchase."
DEAD_UNDER_S = 12
# What is marked so may be mended, but on an ordinary instrument it costs more than it leaves.
CONDITIONS_THAT_END = {
    ("frame", "repair"): "The frame needs repair.",
    ("frame", "replace"): "The frame needs replacing.",
    ("pins", "replace"): "The wrest pins or the plank need replacing.",
}


@dataclass(frozen=True)
class Sign:
    """Something that is seen or not, and what it means for a purchase. `alone`: by itself it ends one."""

    code: str
    part: str
    words: str
    alone: bool
    sentence: str
    valued: bool
    source: str
    caution: str = ""


@dataclass(frozen=True)
class Found:
    """The last word on one part, as far as it matters here."""

    part: str
    condition: str
    signs: Collection[str] = ()
    figures: Mapping[str, Decimal] = field(default_factory=dict)


@dataclass(frozen=True)
class Ender:
    part: str
    sentence: str


def signs_from(table: Iterable[dict]) -> tuple[Sign, ...]:
    return tuple(Sign(**row) for row in table)


def sign_faults(table: Sequence[dict], parts: Iterable[str]) -> list[str]:
    """A sentence for each fault in a table of signs; [] when it can be worked by."""
    known = set(parts)
    faults = [
        f"{code} stands there twice."
        for code, count in Counter(row["code"] for row in table).items()
        if count > 1
    ]
    for row in table:
        faults += [
            f"{row['code']}: “{name}” is empty." for name in ("words", "sentence", "source") if not row[name]
        ]
        if row["part"] not in known:
            faults.append(f"{row['code']}: there is no part “{row['part']}”.")
    return faults


def enders_of(found: Iterable[Found], signs: Iterable[Sign]) -> list[Ender]:
    """What ends a purchase among the findings, each part's own in the order given; [] where nothing does."""
    by_code = {sign.code: sign for sign in signs}
    return [ender for each in found for ender in _of_part(each, by_code)]


def _of_part(found: Found, by_code: Mapping[str, Sign]) -> list[Ender]:
    seen = [by_code[code] for code in found.signs if code in by_code]
    sentences = [_told(sign.sentence, valued=sign.valued, more=sign.caution) for sign in seen if sign.alone]
    if _bars_and_treble(found):
        sentences.append(_told("The bars are loose and the treble is dead.", valued=True))
    lowest = found.figures.get("pin_torque_lowest")
    if lowest is not None and torque_band(lowest) == BANDS[0]:
        figure = f"The lowest wrest pin tried gives {plain(lowest)} N·m"
        sentences.append(_told(f"{figure}: the plank is failing there."))
    if not sentences and (marked := CONDITIONS_THAT_END.get((found.part, found.condition))):
        sentences.append(_told(marked))
    return [Ender(found.part, sentence) for sentence in sentences]


def _bars_and_treble(found: Found) -> bool:
    sustain = found.figures.get("sustain_a5")
    is_dead = "treble_dead" in found.signs or (sustain is not None and sustain < DEAD_UNDER_S)
    return "bars_loose" in found.signs and is_dead


def _told(sentence: str, *, valued: bool = True, more: str = "") -> str:
    return " ".join(filter(None, [sentence, UNLESS_VALUED if valued else FOR_GOOD, more]))
