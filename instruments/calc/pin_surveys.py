"""A survey of tuning pins: what its readings say together, and what became of them by a later survey.

Never a verdict on the plank. What counts is whether a pin stays; figures tell where to look.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.compass import count_word
from instruments.calc.exact import plain
from instruments.calc.pins import BANDS, Band, converted, torque_band
from instruments.calc.survey_lines import pin_name

MOST_NM = Decimal(40)
# How much a pin has to lose before we say that it gave way: a fifth of what it had, or a line of the shop's
# passed on the way down. Common practice, no source; a wrench in a hand reads some tenths of a N·m apart.
GAVE_WAY_SHARE = Decimal("0.2")
SAME_SHARE = Decimal("0.1")

LOWEST_BAND = BANDS[0]
Pin = tuple[int, int]  # key and string


@dataclass(frozen=True)
class Line:
    """A line that the shop draws, in N·m."""

    words: str
    torque_nm: Decimal


@dataclass(frozen=True)
class Change:
    """One pin in two surveys, N·m; `passed` names the shop's lines that it fell below meanwhile."""

    pin: Pin
    before_nm: Decimal
    after_nm: Decimal
    passed: tuple[str, ...] = ()

    @property
    def change_nm(self) -> Decimal:
        return self.after_nm - self.before_nm

    @property
    def gave_way(self) -> bool:
        fell = -self.change_nm
        return fell > SAME_SHARE * self.before_nm and bool(
            self.passed or fell >= GAVE_WAY_SHARE * self.before_nm
        )

    @property
    def words(self) -> str:
        if self.gave_way:
            below = f", now below {' and '.join(self.passed)}" if self.passed else ""
            return f"gave way{below}"
        if abs(self.change_nm) <= SAME_SHARE * self.before_nm:
            return "held"
        return "somewhat looser" if self.change_nm < 0 else "tighter"


def band_counts(torques_nm: Sequence[Decimal]) -> list[tuple[Band, int]]:
    """How many readings lie in each published band, lowest band first; bands without any are left out."""
    bands = [torque_band(torque) for torque in torques_nm]
    return [(band, bands.count(band)) for band in BANDS if band in bands]


def changes(
    before_nm: Mapping[Pin, Decimal], after_nm: Mapping[Pin, Decimal], lines: Sequence[Line]
) -> list[Change]:
    """Every pin that both surveys read, lowest key first."""
    return [
        Change(
            pin,
            before_nm[pin],
            after_nm[pin],
            tuple(line.words for line in lines if after_nm[pin] < line.torque_nm <= before_nm[pin]),
        )
        for pin in sorted(before_nm.keys() & after_nm.keys())
    ]


def changes_sentence(found: Sequence[Change], days: int) -> str:
    """What a later survey shows, in a line: "After six weeks: of 20 pins read twice, two gave way."."""
    after = f"After {_stretch(days)}"
    if not found:
        return f"{after}: no pin was read both times."
    gone = sum(change.gave_way for change in found)
    pins = f"{count_word(len(found))} pin{'s' * (len(found) != 1)} read twice"
    return f"{after}: of {pins}, {count_word(gone) if gone else 'none'} gave way."


def survey_sentence(readings_nm: Mapping[Pin, Decimal], *, is_whole: bool) -> str:
    """How many were read and where the lowest one is."""
    if not readings_nm:
        return "No pin was read."
    lowest = min(readings_nm, key=lambda pin: (readings_nm[pin], pin))
    count = len(readings_nm)
    which = "the whole plank" if is_whole else "a sample"
    pins = f"{count_word(count).capitalize()} pin{'s' * (count != 1)} read, {which}"
    pounds = converted(readings_nm[lowest], "N·m", "lbf·in")
    return f"{pins}. The lowest: {pin_name(*lowest)}, {readings_nm[lowest]:.1f} N·m ({pounds:.0f} lbf·in)."


def reading_problem(torque: Decimal, unit: str, name: str) -> str:
    """One sentence when a reading cannot be a tuning pin's; "" otherwise."""
    if torque < 0:
        return f"{name}: a torque cannot be negative."
    if converted(torque, unit, "N·m") > MOST_NM:
        return f"{name}: {plain(torque)} {unit} is more than any tuning pin takes. Was it another unit?"
    return ""


def air_sentence(before_percent: Decimal | None, after_percent: Decimal | None) -> str:
    """What the air may have to do with a change between two surveys."""
    if before_percent is None or after_percent is None:
        return "The air of one of the two was not written down, so part of a change may be the weather."
    points = after_percent - before_percent
    if abs(points) < 5:
        return ""
    way, how = ("damper", "tighter") if points > 0 else ("drier", "looser")
    return (
        f"The room was {plain(abs(points))} points of humidity {way} the second time: pins turn {how} then,"
        " and part of a change may be that (common practice, no source)."
    )


def _stretch(days: int) -> str:
    if days < 14:
        return f"{count_word(days)} day{'s' * (days != 1)}"
    return f"{count_word(round(days / 7))} weeks"
