"""A kept survey of pins, as its page says it; beside it an earlier one of the same instrument."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from instruments.calc import pin_surveys
from instruments.calc.compass import note_label, top_key
from instruments.calc.key_lists import key_place
from instruments.calc.pins import Band, converted, counts_below, newton_metres, torque_band
from instruments.models import PinLine, PinSurvey


@dataclass(frozen=True)
class PinRow:
    """One pin of the table."""

    key: int
    string: int
    as_read: Decimal
    torque_nm: Decimal
    change: pin_surveys.Change | None

    @property
    def name(self) -> str:
        return note_label(self.key)

    @property
    def torque_lbf_in(self) -> Decimal:
        return converted(self.torque_nm, "N·m", "lbf·in")

    @property
    def band(self) -> Band:
        return torque_band(self.torque_nm)

    @property
    def is_low(self) -> bool:
        return self.band is pin_surveys.LOWEST_BAND


@dataclass(frozen=True)
class LineCount:
    line: PinLine
    count: int


class PinReport:
    """Readings of keys that a later correction of the compass took away are left out."""

    def __init__(self, survey: PinSurvey, *, earlier: PinSurvey | None = None, lines: Sequence[PinLine]):
        self.survey, self.earlier, self.lines = survey, earlier, lines
        instrument = survey.instrument
        self.first_key, self.key_count = instrument.first_key, instrument.key_count

    @cached_property
    def rows(self) -> list[PinRow]:
        changes = {change.pin: change for change in self.changes}
        last = top_key(self.first_key, self.key_count)
        return [
            PinRow(
                reading.key,
                reading.string,
                reading.torque,
                newton_metres(reading.torque, self.survey.unit),
                changes.get((reading.key, reading.string)),
            )
            for reading in self.survey.readings.all()
            if self.first_key <= reading.key <= last
        ]

    @cached_property
    def changes(self) -> list[pin_surveys.Change]:
        if self.earlier is None:
            return []
        drawn = [pin_surveys.Line(str(line), line.torque_nm) for line in self.lines]
        return pin_surveys.changes(self.earlier.torques_nm(), self.survey.torques_nm(), drawn)

    @property
    def gave_way(self) -> list[pin_surveys.Change]:
        return [change for change in self.changes if change.gave_way]

    @property
    def sentence(self) -> str:
        readings = {(row.key, row.string): row.torque_nm for row in self.rows}
        return pin_surveys.survey_sentence(readings, is_whole=self.survey.is_whole)

    @property
    def held_sentence(self) -> str:
        if self.earlier is None:
            return ""
        days = (self.survey.measured_on - self.earlier.measured_on).days
        return pin_surveys.changes_sentence(self.changes, days)

    @property
    def air_sentence(self) -> str:
        if self.earlier is None:
            return ""
        return pin_surveys.air_sentence(self.earlier.humidity_percent, self.survey.humidity_percent)

    @property
    def bands(self) -> list[tuple[Band, int]]:
        return pin_surveys.band_counts([row.torque_nm for row in self.rows])

    @property
    def counts(self) -> list[LineCount]:
        """Of each line in use, highest first, how many readings lie below it."""
        counted = counts_below([row.torque_nm for row in self.rows], [line.torque_nm for line in self.lines])
        return [LineCount(line, count) for line, count in zip(self.lines, counted, strict=True)]

    def place(self, key: int) -> int:
        return key_place(key, self.first_key)


def lines_in_use() -> list[PinLine]:
    return sorted(PinLine.objects.filter(in_use=True), key=lambda line: line.torque_nm, reverse=True)


def pin_report(survey: PinSurvey, *, earlier: PinSurvey | None = None) -> PinReport:
    return PinReport(survey, earlier=earlier, lines=lines_in_use())
