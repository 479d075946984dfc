"""A weigh-off as its page and its paper show it: what is out and why, what to do first, what changed."""

from dataclasses import dataclass
from functools import cached_property

from django.db.models import Prefetch, prefetch_related_objects

from instruments.calc.key_lists import keys_text
from instruments.calc.touchweight import Comparison, KeyVerdict, WeighOff, asked_of, compare
from instruments.models import Instrument, KeyReading, Weighing
from instruments.touch import verdict_of

MOST_EARLIER = 20
NO_OTHER = "none"


@dataclass(frozen=True)
class Line:
    """One key of the table, with what stood before it."""

    now: KeyVerdict
    before: KeyVerdict | None
    reading: KeyReading


@dataclass(frozen=True)
class WeighReport:
    weighing: Weighing
    instrument: Instrument
    touch: WeighOff
    rows: list[KeyReading]
    others: list[Weighing]
    before: Weighing | None

    @property
    def asks(self) -> list[tuple]:
        """Who wants what, each with its keys in words."""
        own = self.instrument.first_key, self.instrument.key_count
        return [(asked, keys_text(asked.keys, *own)) for asked in asked_of(self.touch.keys)]

    @property
    def corrections(self) -> list[tuple[KeyReading, KeyReading]]:
        """Each weight that was typed over, with what it says now: (earlier, later)."""
        by_pk = {row.pk: row for row in self.rows}
        pairs = [(by_pk[row.replaces_id], row) for row in self.rows if row.replaces_id]
        return [(earlier, later) for earlier, later in pairs if later.corrects(earlier)]

    @property
    def takers(self) -> list[str]:
        """Everybody who took a reading, where it was not the one who began alone."""
        people = {row.taken_by for row in self.rows if row.taken_by} - {self.weighing.weighed_by}
        return sorted(person.get_full_name() or person.get_username() for person in people)

    @cached_property
    def touch_before(self) -> WeighOff | None:
        return verdict_of(self.before, self.instrument) if self.before else None

    @property
    def comparison(self) -> Comparison | None:
        return compare(self.touch_before, self.touch) if self.touch_before else None

    @property
    def lines(self) -> list[Line]:
        earlier = {key.key: key for key in self.touch_before.keys} if self.touch_before else {}
        standing = {row.key: row for row in self.weighing.standing_readings()}
        return [Line(key, earlier.get(key.key), standing[key.key]) for key in self.touch.keys]

    @property
    def share_inside(self) -> int:
        return round(self.touch.summary.share_inside * 100)


def report_of(weighing: Weighing, *, before: str = "") -> WeighReport:
    """`before`: the number of the weigh-off to compare with, "none", or "" for the one before this."""
    instrument = weighing.instrument
    prefetch_related_objects([weighing], Prefetch("readings", KeyReading.objects.select_related("taken_by")))
    rows = list(weighing.readings.all())
    others = list(instrument.weighings.with_readings().exclude(pk=weighing.pk)[:MOST_EARLIER])
    return WeighReport(
        weighing,
        instrument,
        verdict_of(weighing, instrument),
        rows,
        others,
        _chosen(weighing, others, before),
    )


def _chosen(weighing: Weighing, others: list[Weighing], before: str) -> Weighing | None:
    if before == NO_OTHER:
        return None
    asked = [other for other in others if str(other.pk) == before]
    return next(iter(asked or [other for other in others if other.pk < weighing.pk]), None)
