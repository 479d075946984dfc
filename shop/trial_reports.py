"""Which condition reports belong to a home trial: as it went out, and as it came back."""

from datetime import date, timedelta

from instruments.models import ConditionReport
from instruments.report_ways import WayOn
from instruments.states import Occasion
from shop.models import Trial

# It is looked over before it is loaded, and may be unloaded some days after the last day.
BEFORE_IT_STARTS = timedelta(days=14)
AFTER_IT_ENDED = timedelta(days=14)
OF_A_TRIAL = {Occasion.OUT_ON_TRIAL, Occasion.BACK_FROM_TRIAL}
OF_A_SALE = {Occasion.AS_SOLD, Occasion.BACK_FROM_BUYER}


def last_day_of_reports(trial: Trial) -> date | None:
    """A report written later says nothing of this trial; None while it runs."""
    if not trial.ended_on:
        return None
    collection = trial.trialcollection_rows.first()
    return max(filter(None, [trial.ended_on, collection and collection.collected_on])) + AFTER_IT_ENDED


def reports_of_trial(trial: Trial) -> tuple[ConditionReport | None, ConditionReport | None]:
    """The newest hand-over report and the newest of the return, where they were written."""
    reports = trial.instrument.condition_reports.filter(looked_on__gte=trial.starts_on - BEFORE_IT_STARTS)
    if last := last_day_of_reports(trial):
        reports = reports.filter(looked_on__lte=last)
    out = reports.filter(occasion=Occasion.OUT_ON_TRIAL).first()
    back = reports.filter(occasion=Occasion.BACK_FROM_TRIAL, looked_on__gte=trial.starts_on).first()
    return out, back


def trial_of_report(report: ConditionReport) -> Trial | None:
    """The home trial that this is the hand-over or the return of."""
    if report.occasion not in OF_A_TRIAL:
        return None
    starts_by = report.looked_on + BEFORE_IT_STARTS
    trials = report.instrument.trials.filter(starts_on__lte=starts_by).select_related("person")
    return next((trial for trial in trials if report in reports_of_trial(trial)), None)


def way_on_from(report: ConditionReport, user) -> WayOn | None:
    """From the report of a trial or a sale back to it, for whoever may see it."""
    if not user.has_perm("shop.sell"):
        return None
    if trial := trial_of_report(report):
        return WayOn(f"On with home trial {trial.number}", trial.get_absolute_url())
    sale = report.instrument.sales.first() if report.occasion in OF_A_SALE else None
    return WayOn(f"On with sale {sale.number}", sale.get_absolute_url()) if sale else None


def other_side_of(report: ConditionReport) -> str:
    """The name of whoever signs beside the shop, where the record knows: customer, buyer or seller."""
    if report.occasion in OF_A_TRIAL:
        trial = trial_of_report(report)
        return trial.person.name if trial else ""
    if report.occasion in OF_A_SALE:
        sale = report.instrument.sales.select_related("person").first()  # the newest
        return sale.person.name if sale else ""
    if report.occasion in {Occasion.AS_OFFERED, Occasion.AS_BOUGHT}:
        purchase = report.instrument.purchases.select_related("seller").first()
        return purchase.seller.name if purchase and purchase.seller else ""
    return ""
