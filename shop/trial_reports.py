"""Which condition reports belong to a home trial: as it went out, and as it came back."""

from datetime import timedelta

from instruments.models import ConditionReport
from instruments.states import Occasion
from shop.models import Trial

# It is looked over before it is loaded, and may be unloaded some days after the last day.
BEFORE_IT_STARTS = timedelta(days=14)
AFTER_IT_ENDED = timedelta(days=14)
OF_A_TRIAL = {Occasion.OUT_ON_TRIAL, Occasion.BACK_FROM_TRIAL}


def reports_of_trial(trial: Trial) -> tuple[ConditionReport | None, ConditionReport | None]:
    """The newest hand-over report and the newest of the return, where they were written."""
    reports = trial.instrument.condition_reports.filter(looked_on__gte=trial.starts_on - BEFORE_IT_STARTS)
    if trial.ended_on:
        reports = reports.filter(looked_on__lte=trial.ended_on + AFTER_IT_ENDED)
    out = reports.filter(occasion=Occasion.OUT_ON_TRIAL).first()
    back = reports.filter(occasion=Occasion.BACK_FROM_TRIAL, looked_on__gte=trial.starts_on).first()
    return out, back


def other_side_of(report: ConditionReport) -> str:
    """The name of whoever signs beside the shop, where the record knows: customer, buyer or seller."""
    if report.occasion in OF_A_TRIAL:
        starts_by = report.looked_on + BEFORE_IT_STARTS
        trials = report.instrument.trials.filter(starts_on__lte=starts_by).select_related("person")
        return next((trial.person.name for trial in trials if report in reports_of_trial(trial)), "")
    if report.occasion == Occasion.AS_SOLD:
        sale = report.instrument.sales.select_related("person").last()
        return sale.person.name if sale else ""
    if report.occasion in {Occasion.AS_OFFERED, Occasion.AS_BOUGHT}:
        purchase = report.instrument.purchases.select_related("seller").first()
        return purchase.seller.name if purchase and purchase.seller else ""
    return ""
