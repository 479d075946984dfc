from collections.abc import Iterable
from datetime import date

from django.db import transaction

from instruments.calc.condition.comparing import Value
from instruments.models import ConditionReport, Finding, Instrument, MeasuredValue
from instruments.problems import refuse_if_blocked, report_problems
from instruments.states import Condition


@transaction.atomic
def record_finding(
    *,
    instrument: Instrument,
    part: str,
    condition: str,
    by,
    on: date,
    report: ConditionReport | None = None,
    values: Iterable[Value] = (),
    **details,
) -> Finding:
    """Write down what was found of one part. It replaces the last word on that part and keeps it on file.

    `details` may hold note, keys, signs, photo and is_public. Raises Blocked when the report is closed,
    ValueError when it is another instrument's.
    """
    if report and report.instrument_id != instrument.pk:
        raise ValueError(f"{report} is not a report of {instrument.stock_number}.")
    # The instrument's row is locked first, so that two people at one part come one after the other.
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    if report:
        refuse_if_blocked(
            report_problems(ConditionReport.objects.select_related("closed_by").get(pk=report.pk))
        )
    finding = Finding.objects.create(
        instrument=instrument,
        report=report,
        part=part,
        condition=condition,
        supersedes=_replaced(instrument, part, condition, report),
        found_on=on,
        found_by=by,
        **details,
    )
    for value in values:
        MeasuredValue.objects.create(
            finding=finding,
            measure=value.measure,
            name=value.name,
            number=value.number,
            answer=value.answer,
            unit=value.unit,
        )
    return finding


def _replaced(instrument: Instrument, part: str, condition: str, report: ConditionReport | None):
    """The last word on the part. Not having looked replaces only the same report's own word, or no word."""
    last = instrument.findings.current().filter(part=part).last()
    keeps_standing = (
        condition == Condition.NOT_EXAMINED
        and last is not None
        and last.condition != Condition.NOT_EXAMINED
        and not (report and last.report_id == report.pk)
    )
    return None if keeps_standing else last
