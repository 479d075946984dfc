"""What speaks against the next step of a home trial: the page prints it, the action refuses by it."""

from datetime import date, timedelta

from django.urls import reverse

from instruments.problems import Blocker, Caution, Problem
from shop.credit_problems import share_cautions
from shop.models import PaperSignature, TermsVersion, Trial
from shop.problems import LONGEST_LOAN_DAYS, trial_length_problems, trial_problems
from shop.states import PaperKind, PromiseOutcome, Signer, TrialState
from shop.terms_problems import silence_cautions
from shop.trial_reports import reports_of_trial
from shop.trial_states import Leg

FETCHED_WITHIN = timedelta(days=92)  # of its last day; a later year is a slip
NOT_STARTED = "The trial has not started: nothing is promised, agreed or paid yet. Start it first."
NOT_SIGNED = (
    "No signature of the customer is on file. The agreement says that it stays ours and when it comes back: "
    "who lends on a word alone has to prove both (common practice). Have it signed, or put the page on file."
)
NO_SHEET = (
    "No hand-over condition report is closed. For damage on the way or at their home, and for a fault that "
    "the law presumes was there at delivery (Consumer Rights Act 2015, s. 19), it is the evidence. Check the "
    "law in force; this is not legal advice."
)
SHEET_OPEN = (
    "The hand-over condition report is begun but not closed. Close it before both sign: left open it may "
    "still change, and proves nothing of the day (common practice)."
)
NO_SURVEY = (
    "Nobody asked about the way in. Stairs, turns and doors that surprise the movers cost money and hurt "
    "people (common practice)."
)

BACK_OPEN = (
    "The report as it came back, of {day}, is begun and not closed. Close it, and compare it with that of "
    "the hand-over: once the trial has ended, nothing more is deducted."
)
LATE = (
    "Its last day was {day}: more time is agreed by then, and may be entered later. Give the day on which it "
    "was agreed, or tick that it was agreed after its last day."
)
AGREED_TOO_LATE = (
    "It was agreed after the last day, and by the terms of this trial who keeps it past that day has bought "
    "it. Take advice before you lend what is sold; this is not legal advice."
)


def out_since(trial: Trial) -> date:
    """The first of its days: as agreed, or as it was handed over where that came sooner."""
    return min(trial.starts_on, trial.promise.opened_on) if trial.promise else trial.starts_on


def longest_until(trial: Trial) -> date:
    """The last day to which it can be extended, counted from the first of its days."""
    return out_since(trial) + timedelta(days=LONGEST_LOAN_DAYS)


def extension_problems(
    trial: Trial, *, until: date, agreed_on: date, is_late: bool = False, on: date
) -> list[Problem]:
    """For a later last day. `on` is today: no extension ends in the past, none was agreed in the future.

    `is_late` where somebody says that it was agreed after the last day.
    """
    problems = _nothing_to_extend(trial)
    if until <= trial.ends_on:
        problems.append(
            Blocker(f"It is out until {trial.ends_on:%-d %B %Y} already. Give a later day.", "#id_until")
        )
    if until < on:
        problems.append(Blocker("That day has passed. Give a day that is still to come.", "#id_until"))
    if agreed_on > on:
        problems.append(Blocker("It cannot have been agreed on a day to come.", "#id_agreed_on"))
    if agreed_on < out_since(trial):
        problems.append(Blocker("It was not out yet on that day.", "#id_agreed_on"))
    problems += trial_length_problems((until - out_since(trial)).days)
    if agreed_on > trial.ends_on and not is_late:
        problems.append(Blocker(LATE.format(day=f"{trial.ends_on:%-d %B %Y}"), "#id_agreed_on"))
    if trial.terms and trial.terms.keeping_is_buying and agreed_on > trial.ends_on:
        problems.append(Caution(AGREED_TOO_LATE, "#id_agreed_on"))
    return problems


def _nothing_to_extend(trial: Trial) -> list[Problem]:
    collection = trial.trialcollection_rows.first()
    if collection is None:
        return []
    day = f"{collection.collected_on:%-d %B %Y}"
    return [Blocker(f"It was collected on {day}: there is nothing to extend. Settle it.", "#id_until")]


def draft_problems(trial: Trial) -> list[Problem]:
    """What its page says before it starts."""
    return [*trial_problems(trial.instrument), *share_cautions(trial)]


def start_problems(trial: Trial, *, on: date) -> list[Problem]:
    """What forbids the start, and what to look at once more before it."""
    revise, terms = reverse("shop:trial_revise", args=[trial.number]), TermsVersion.objects.first()
    late = f"Its first day, {trial.starts_on:%-d %B %Y}, has passed: its days count from then."
    return [
        *trial_problems(trial.instrument),
        *([Caution(late, revise)] if trial.starts_on < on else []),
        *(comparison_problems(trial.exchanged_from, blocks=False) if trial.exchanged_from else []),
        *sheet_cautions(trial),
        *share_cautions(trial),
        *silence_cautions(bool(terms and terms.keeping_is_buying)),
    ]


def sheet_cautions(trial: Trial) -> list[Problem]:
    """What should be on paper before it is lent; common practice, and what a dispute is decided by."""
    report = reports_of_trial(trial)[0]
    if report and report.is_open:
        return [Caution(SHEET_OPEN, report.get_absolute_url())]
    return [] if report else [Caution(NO_SHEET, _condition_page(trial))]


def survey_problems(trial: Trial, *, asked_on: date, on: date) -> list[Problem]:
    problems = _not_ended(trial, "Its way in is not asked for any more.")
    if asked_on > on:
        problems.append(Blocker("It cannot have been asked on a day to come.", "#id_asked_on"))
    return problems


def mover_problems(trial: Trial, leg: str, *, day: date | None = None, on: date) -> list[Problem]:
    """`day` is the one agreed, `on` is today: what was moved already is a delivery or a collection."""
    days = _mover_day_problems(trial, leg, day, on) if day else []
    if leg == Leg.OUT:
        problems = _not_ended(trial, "Nothing goes out on it any more.")
        if trial.trialdelivery_rows.exists():
            problems.append(Blocker("It has been delivered already."))
        return [*problems, *days]
    problems = _may_come_back(trial)
    if trial.trialcollection_rows.exists():
        problems.append(Blocker("It has been collected already."))
    return [*problems, *days]


def _mover_day_problems(trial: Trial, leg: str, day: date, on: date) -> list[Problem]:
    moved = "delivered" if leg == Leg.OUT else "collected"
    last = max(on, trial.ends_on) + (FETCHED_WITHIN if leg == Leg.BACK else timedelta(0))
    if day < on:
        words = f"Give today, {on:%-d %B %Y}, or a day to come. What was moved already is written down as"
        return [Blocker(f"{day:%-d %B %Y} has passed. {words} {moved}.", "#id_day")]
    if day > last:
        return [Blocker(f"That is too late: give a day up to {last:%-d %B %Y}.", "#id_day")]
    return []


def delivery_problems(trial: Trial, *, delivered_on: date | None, on: date) -> list[Problem]:
    """Cautions say which rule and why: what has been delivered is written down, whatever was forgotten."""
    if trial.state == TrialState.DRAFT:
        return [Blocker(NOT_STARTED, reverse("shop:trial_start", args=[trial.number]))]
    problems = _not_ended(trial, "A delivery is written down while it is out.")
    if delivered_on and delivered_on > on:
        problems.append(Blocker("It cannot have been delivered on a day to come.", "#id_delivered_on"))
    if delivered_on and delivered_on < out_since(trial):
        problems.append(
            Blocker(f"The trial began on {out_since(trial):%-d %B %Y}, not before.", "#id_delivered_on")
        )
    if not is_signed(trial):
        problems.append(Caution(NOT_SIGNED, reverse("shop:trial_signed_paper", args=[trial.number])))
    problems += sheet_cautions(trial)
    if not trial.accesssurvey_rows.exists():
        problems.append(Caution(NO_SURVEY, reverse("shop:trial_access", args=[trial.number])))
    return problems


def comparison_problems(trial: Trial, *, without: str = "", blocks: bool = True) -> list[Problem]:
    """For its end: a report begun as it came back is closed first, or `without` says why not."""
    back = reports_of_trial(trial)[1]
    if back is None or not back.is_open:
        return []
    kind = Blocker if blocks and not without.strip() else Caution
    return [kind(BACK_OPEN.format(day=f"{back.looked_on:%-d %B %Y}"), back.get_absolute_url())]


def climate_step_problems(trial: Trial) -> list[Problem]:
    if trial.state == TrialState.DRAFT:
        return [Blocker(NOT_STARTED, reverse("shop:trial_start", args=[trial.number]))]
    return []


def collection_problems(trial: Trial, *, collected_on: date | None, on: date) -> list[Problem]:
    problems = _may_come_back(trial)
    delivery = trial.trialdelivery_rows.first()
    if collected_on and collected_on > on:
        problems.append(Blocker("It cannot have been collected on a day to come.", "#id_collected_on"))
    if delivery and collected_on and collected_on < delivery.delivered_on:
        words = f"It was delivered on {delivery.delivered_on:%-d %B %Y}; it cannot have been fetched before."
        problems.append(Blocker(words, "#id_collected_on"))
    return problems


def is_signed(trial: Trial) -> bool:
    return signatures_of(trial).exists()


def signatures_of(trial: Trial):
    """The customer's, under the agreement."""
    return PaperSignature.objects.filter(
        paper__trial=trial, paper__kind=PaperKind.TRIAL_AGREEMENT, signer=Signer.CUSTOMER
    )


def _not_ended(trial: Trial, sentence: str) -> list[Problem]:
    return [Blocker(f"{trial.number} has ended. {sentence}")] if trial.state == TrialState.ENDED else []


def _may_come_back(trial: Trial) -> list[Problem]:
    if trial.state == TrialState.DRAFT:
        return [Blocker(NOT_STARTED, reverse("shop:trial_start", args=[trial.number]))]
    if trial.outcome == PromiseOutcome.KEPT:
        return [Blocker(f"{trial.number} has ended: they keep it, and nothing is fetched.")]
    return []


def _condition_page(trial: Trial) -> str:
    address = reverse("instruments:condition_begin", args=[trial.instrument.stock_number])
    return f"{address}?occasion=out_on_trial"
