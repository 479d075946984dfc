"""What is on file of one home trial, gathered once: its rows, and the line of steps that they make."""

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from instruments.models import ConditionReport
from instruments.states import Place
from shop.actions.ledger import still_to_pay
from shop.calc.home_air import HomeAir, heating_cautions
from shop.calc.trial_steps import Known, Step, step_now, steps_of
from shop.models import (
    AccessSurvey,
    HomeClimate,
    MoverBooking,
    ReminderAttempt,
    Trial,
    TrialCollection,
    TrialDelivery,
)
from shop.states import TrialState
from shop.trial_problems import signatures_of
from shop.trial_reports import last_day_of_reports, reports_of_trial
from shop.trial_states import Leg
from workorders.currency import in_words

MOST_READINGS = 12


@dataclass(frozen=True)
class TrialLife:
    """The newest row of each kind, and every reading of the air up to a bound."""

    trial: Trial
    access: AccessSurvey | None
    mover: MoverBooking | None
    mover_back: MoverBooking | None
    delivery: TrialDelivery | None
    collection: TrialCollection | None
    climates: tuple[HomeClimate, ...]
    reports: tuple[ConditionReport | None, ConditionReport | None]
    known: Known
    steps: tuple[Step, ...]

    @property
    def now(self) -> Step | None:
        return step_now(self.steps)

    @property
    def hand_over(self) -> ConditionReport | None:
        """The report it went out with: the one named at its delivery, else the newest."""
        return _hand_over(self.delivery, self.reports[0])

    @property
    def air(self) -> HomeAir | None:
        """The air as it was last written down."""
        reading = self.climates[0].reading if self.climates else None
        return HomeAir(reading.temperature_c, reading.humidity_percent) if reading else None

    @property
    def air_cautions(self) -> list[str]:
        heating = heating_cautions(self.delivery.heating) if self.delivery else []
        return [*(self.air.cautions() if self.air else []), *heating]


def life_of_trial(trial: Trial, *, on: date) -> TrialLife:
    bookings = list(trial.moverbooking_rows.all())
    mover, back = (next((each for each in bookings if each.leg == leg), None) for leg in Leg)
    rows = {
        "access": trial.accesssurvey_rows.select_related("picture").first(),
        "mover": mover,
        "mover_back": back,
        "delivery": trial.trialdelivery_rows.select_related("report").first(),
        "collection": trial.trialcollection_rows.first(),
    }
    climates = tuple(
        trial.homeclimate_rows.select_related("reading").order_by("-reading__read_on", "-id")[:MOST_READINGS]
    )
    reports = reports_of_trial(trial)
    known = _known(trial, rows, reports, on)
    return TrialLife(
        trial=trial, **rows, climates=climates, reports=reports, known=known, steps=steps_of(known)
    )


def reminders_of(trial: Trial) -> list[ReminderAttempt]:
    """What was sent of its end, newest first."""
    if trial.promise_id is None:
        return []
    rows = ReminderAttempt.objects.filter(promise=trial.promise_id).select_related("result")
    return list(rows.order_by("-id")[:MOST_READINGS])


def _known(trial: Trial, rows: dict, reports, on: date) -> Known:
    out, back = reports
    sheet = _hand_over(rows["delivery"], out)
    delivery, collection, instrument = rows["delivery"], rows["collection"], trial.instrument
    signature = signatures_of(trial).order_by("id").first()
    settled_on, still_open = _settled(trial)
    is_there = (instrument.place, instrument.place_note) == (Place.CUSTOMER, trial.number)
    last = last_day_of_reports(trial)
    return Known(
        drafted_on=timezone.localdate(trial.drafted_at),
        ends_on=trial.ends_on,
        access_on=rows["access"] and rows["access"].asked_on,
        mover_on=rows["mover"] and rows["mover"].day,
        handed_over_on=_closed_on(sheet),
        is_sheet_open=sheet is not None and sheet.is_open,
        started_on=trial.promise and trial.promise.opened_on,
        signed_on=signature and timezone.localdate(signature.signed_at),
        is_there=is_there,
        delivered_on=delivery and delivery.delivered_on,
        chosen_on=trial.ended_on,
        outcome=trial.outcome,
        mover_back_on=rows["mover_back"] and rows["mover_back"].day,
        collected_on=collection and collection.collected_on,
        compared_on=_closed_on(back),
        is_too_late_to_compare=last is not None and not is_there and on > last,
        settled_on=settled_on,
        still_open=still_open,
        today=on,
    )


def _hand_over(delivery: TrialDelivery | None, out: ConditionReport | None) -> ConditionReport | None:
    return delivery.report if delivery and delivery.report else out


def _closed_on(report: ConditionReport | None) -> date | None:
    return report.looked_on if report and not report.is_open else None


def _settled(trial: Trial) -> tuple[date | None, str]:
    """The day of the last movement of its money once nothing is open; and what is open, in words."""
    if trial.state != TrialState.ENDED:
        return None, ""
    sale = getattr(trial, "sale", None)
    promises = [trial.promise, *([sale.promise] if sale else [])]
    if sale and sale.promise.is_open and (left := still_to_pay(sale.promise)) > 0:
        return None, f"{in_words(left)} still to pay on sale {sale.number}"
    days = [trial.ended_on]
    for promise in promises:
        days += promise.payments.values_list("paid_on", flat=True)
        days += promise.credit_entries.values_list("entered_on", flat=True)
    return max(days), ""
