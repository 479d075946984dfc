"""What one condition report says of each part, how far it has come, and how two of them differ."""

from dataclasses import dataclass
from functools import cached_property

from instruments.calc.condition.comparing import SAME, UNKNOWN, Line, PartPair, Value, compared
from instruments.models import ConditionReport, Finding
from instruments.states import PARTS_AT, STATION_OF, Part, Station


@dataclass(frozen=True)
class StationWalk:
    """One station of a report: how many of its parts were looked at."""

    station: Station
    looked_at: int
    parts: int

    @property
    def is_done(self) -> bool:
        return self.looked_at == self.parts


@dataclass(frozen=True)
class Walk:
    """The lines of a report, the last one on each part; parts without one were not looked at."""

    report: ConditionReport
    findings_by_key: dict[int, Finding]

    @cached_property
    def lines(self) -> dict[str, Finding]:
        return {finding.part: finding for finding in self.findings_by_key.values()}

    @property
    def looked_at(self) -> int:
        return len(self.lines)

    @property
    def parts(self) -> int:
        return len(Part)

    @property
    def left(self) -> list[Part]:
        return [part for part in Part if part not in self.lines]

    @property
    def next_part(self) -> Part | None:
        return next(iter(self.left), None)

    def next_at(self, station: Station) -> Part | None:
        """The first part of a station that nobody looked at."""
        return next((part for part in PARTS_AT[station] if part not in self.lines), None)

    @property
    def next_station(self) -> Station | None:
        return STATION_OF[self.next_part] if self.left else None

    @property
    def stations(self) -> list[StationWalk]:
        return [
            StationWalk(station, sum(part in self.lines for part in parts), len(parts))
            for station, parts in PARTS_AT.items()
        ]

    @property
    def by_station(self) -> list[tuple[Station, list[tuple[Part, Finding | None]]]]:
        return [
            (station, [(part, self.lines.get(part)) for part in parts]) for station, parts in PARTS_AT.items()
        ]

    @property
    def findings(self) -> list[Finding]:
        """Those that are there, in the order of the walk."""
        return [self.lines[part] for part in Part if part in self.lines]


def walk_of(report: ConditionReport) -> Walk:
    findings = report.findings.with_values().select_related("found_by", "photo", "instrument").order_by("id")
    return Walk(report, {finding.pk: finding for finding in findings})


def value_of(value) -> Value:
    return Value(value.measure, value.name, value.number, value.answer, value.unit)


def line_of(finding: Finding) -> Line:
    return Line(
        condition=finding.condition,
        note=finding.note,
        keys=finding.keys,
        values=tuple(value_of(value) for value in finding.values.all()),
        signs=tuple(finding.signs),
    )


@dataclass(frozen=True)
class PairedPart:
    """One part in two reports, with the findings themselves for their photographs and names."""

    part: Part
    pair: PartPair
    before: Finding | None
    after: Finding | None

    @property
    def is_unknown(self) -> bool:
        return self.pair.change == UNKNOWN

    @property
    def is_unchanged(self) -> bool:
        return self.pair.change == SAME

    @property
    def is_photographed_twice(self) -> bool:
        photos = {each.photo_id for each in (self.before, self.after) if each and each.photo_id}
        return len(photos) == 2


def paired(first: Walk, second: Walk) -> list[PairedPart]:
    """Part by part, the changed ones first."""
    lines = [{part: line_of(finding) for part, finding in walk.lines.items()} for walk in (first, second)]
    return [
        PairedPart(Part(pair.part), pair, first.lines.get(pair.part), second.lines.get(pair.part))
        for pair in compared(Part.values, *lines)
    ]


def in_order_of_the_walk(findings) -> list[Finding]:
    order = {part: place for place, part in enumerate(Part.values)}
    return sorted(findings, key=lambda finding: (order[finding.part], finding.pk))
