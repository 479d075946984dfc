"""A condition report: begun, its head put right while it is open, closed once."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.utils import timezone

from instruments.actions.findings import record_finding
from instruments.actions.history import save_tracked
from instruments.actions.photos import attach_pictures
from instruments.models import ConditionReport, Finding, Instrument, Photo
from instruments.problems import refuse_if_blocked, report_problems
from instruments.states import Part, Shot

SHOTS = {
    Part.CASTORS: Shot.PEDALS,
    Part.PINS: Shot.PINS,
    Part.ACTION: Shot.ACTION,
    Part.HAMMERS: Shot.HAMMERS,
    Part.STRINGS: Shot.STRINGS,
    Part.KEY_TOPS: Shot.KEYS,
    Part.KEYS: Shot.KEYS,
    Part.PEDALS: Shot.PEDALS,
    Part.BRIDGES: Shot.BRIDGES,
    Part.BACK: Shot.BACK,
    Part.SOUNDBOARD: Shot.SOUNDBOARD,
}


@transaction.atomic
def begin_report(*, instrument: Instrument, occasion: str, looked_on: date, by, **head) -> ConditionReport:
    """`head` may hold temperature_c, humidity_percent and note."""
    report = ConditionReport(
        instrument=instrument, occasion=occasion, looked_on=looked_on, begun_by=by, **head
    )
    save_tracked(report, by=by, why=f"Condition report begun: {report}")
    return report


@transaction.atomic
def change_report(*, report: ConditionReport, by, **head) -> ConditionReport:
    """Put the head right while the report is open."""
    report = _locked(report)
    refuse_if_blocked(report_problems(report))
    for name, value in head.items():
        setattr(report, name, value)
    save_tracked(report, by=by, why=f"Head of the condition report changed: {report}")
    return report


@transaction.atomic
def write_line(
    *, report: ConditionReport, part: str, by, on: date, pictures: Sequence[Mapping] = (), **found
) -> Finding:
    """What the report says of one part from now on. `found` is what `record_finding` takes.

    `pictures` are stored already; without a new one the part keeps the photograph it has in this report.
    """
    # Before the photograph so far is read: another may be putting a newer one to this part.
    Instrument.objects.select_for_update().get(pk=report.instrument_id)
    photo = _photographed(report, part, pictures, by) or _photo_so_far(report, part)
    return record_finding(
        instrument=report.instrument, report=report, part=part, photo=photo, by=by, on=on, **found
    )


def _photographed(report: ConditionReport, part: str, pictures: Sequence[Mapping], by) -> Photo | None:
    words = f"{Part(part).label}, {report.get_occasion_display().lower()}"
    described = [
        {"shot": SHOTS.get(part, Shot.OTHER), "caption": words} | dict(picture) for picture in pictures
    ]
    if not described:
        return None
    added = attach_pictures(instrument=report.instrument, pictures=described, by=by)
    return [*added.known, *added.new][-1]


def _photo_so_far(report: ConditionReport, part: str) -> Photo | None:
    line = report.findings.filter(part=part).select_related("photo").last()
    return line.photo if line else None


@transaction.atomic
def close_report(*, report: ConditionReport, by) -> ConditionReport:
    """From here on it stands as it is. Raises Blocked when somebody has closed it already."""
    report = _locked(report)
    refuse_if_blocked(report_problems(report))
    report.closed_by, report.closed_at = by, timezone.now()
    save_tracked(report, by=by, why=f"Condition report closed: {report}")
    return report


def _locked(report: ConditionReport) -> ConditionReport:
    Instrument.objects.select_for_update().get(pk=report.instrument_id)
    return ConditionReport.objects.select_related("instrument", "closed_by").get(pk=report.pk)
