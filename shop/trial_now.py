"""What a home trial asks for now, in words, with its one button; and where each step is written down."""

from dataclasses import dataclass

from django.urls import reverse

from shop.calc.trial_steps import LATER, NOW, PASSED, Step
from shop.states import PromiseOutcome, TrialState
from shop.trial_life import TrialLife
from shop.trial_states import Leg

CHOOSE = "chosen"
MORE_TIME = "Agree more time in writing, or who fetches it. An end left open may turn it into regulated hire."


@dataclass(frozen=True)
class WhatNow:
    """`more` stands below the sentence, where there is more to say than what it waits for."""

    words: str
    url: str
    why: str
    more: str = ""


@dataclass(frozen=True)
class StepLine:
    """One step in a line: `url` is where it is written down, or put right, and empty where it cannot be."""

    step: Step
    url: str
    place: int


def what_now(life: TrialLife) -> WhatNow | None:
    """None once it is settled."""
    step = life.now
    if step is None:
        return None
    if step.code == CHOOSE and life.known.days_late:
        return _overdue(life)
    words, url = _button(step.code, life)
    air = life.air_cautions[0] if step.code == CHOOSE and life.air_cautions else ""
    return WhatNow(words, url, _why(step, life), air)


def lines_ahead(life: TrialLife) -> list[StepLine]:
    return [line for line in _lines(life) if line.step.standing == LATER]


def lines_behind(life: TrialLife) -> list[StepLine]:
    """Done, passed over or not needed: one line each."""
    return [line for line in _lines(life) if line.step.standing not in {NOW, LATER}]


def _lines(life: TrialLife) -> list[StepLine]:
    return [StepLine(step, _page(step, life), place) for place, step in enumerate(life.steps, 1)]


def _why(step: Step, life: TrialLife) -> str:
    """Who comes on which day, while that day is to come; else what the step waits for."""
    coming = {"delivered": (life.mover, "brings"), "collected": (life.mover_back, "fetches")}
    booking, does = coming.get(step.code, (None, ""))
    if booking and life.known.today and booking.day > life.known.today:
        return f"{booking.mover}: {does} it on {booking.day:%-d %B %Y}. Then write down {step.words[10:]}."
    return f"{step.name}: {step.words}."


def _overdue(life: TrialLife) -> WhatNow:
    """Whatever was never written down before, this comes first."""
    person, late = life.trial.person, life.known.days_late
    days = f"{late} day{'' if late == 1 else 's'}"
    why = f"It is {days} past its last day: ask whether they keep it, exchange it, or it comes back."
    if number := _dialled(person.telephone):
        return WhatNow(f"Ring {person.telephone}", f"tel:{number}", why, MORE_TIME)
    if person.email:
        return WhatNow(f"Write to {person.email}", f"mailto:{person.email}", why, MORE_TIME)
    return WhatNow(f"Find how to reach {person}", person.get_absolute_url(), why, MORE_TIME)


def _dialled(telephone: str) -> str:
    return "".join(each for each in telephone if each.isdigit() or each == "+")


def _button(code: str, life: TrialLife) -> tuple[str, str]:
    number = life.trial.number
    match code:
        case "access":
            return "Ask about the way in", reverse("shop:trial_access", args=[number])
        case "mover":
            return "Agree a mover", reverse("shop:trial_mover", args=[number, Leg.OUT])
        case "started" if life.known.has_lapsed:
            return "Give it other days", reverse("shop:trial_revise", args=[number])
        case "started":
            return "Start the trial", reverse("shop:trial_start", args=[number])
        case "signed":
            return "Put the signed page on file", reverse("shop:trial_signed_paper", args=[number])
        case "handed_over" if life.hand_over:
            return "Close the hand-over report", life.hand_over.get_absolute_url()
        case "handed_over":
            return "Write the hand-over report", _report(life, "out_on_trial")
        case "delivered":
            return "Write down the delivery", reverse("shop:trial_delivered", args=[number])
        case "chosen" if life.collection:
            return "Settle the return", reverse("shop:trial_return", args=[number])
        case "chosen":
            return "What do they choose?", "#endings"
        case "mover_back":
            return "Agree who fetches it", reverse("shop:trial_mover", args=[number, Leg.BACK])
        case "collected":
            return "Write down the collection", reverse("shop:trial_collected", args=[number])
        case "compared" if back := life.reports[1]:
            return "Close the report as it came back", back.get_absolute_url()
        case "compared":
            return "Write the report as it came back", _report(life, "back_from_trial")
    return _settle(life)


def _report(life: TrialLife, occasion: str) -> str:
    address = reverse("instruments:condition_begin", args=[life.trial.instrument.stock_number])
    return f"{address}?occasion={occasion}"


def _settle(life: TrialLife) -> tuple[str, str]:
    sale = getattr(life.trial, "sale", None)
    if life.trial.state == TrialState.ENDED and sale:
        return "Take the payment", reverse("shop:payment_take", args=[sale.promise_id])
    return "Look at what is open", life.trial.person.get_absolute_url()


def _page(step: Step, life: TrialLife) -> str:
    """The form of a step that may be filled in now, first or again; a report where there is one."""
    trial, delivery, collection = life.trial, life.delivery, life.collection
    is_out, may_come_back = trial.state == TrialState.OUT, trial.outcome != PromiseOutcome.KEPT
    is_before = trial.state != TrialState.ENDED and not delivery
    match step.code:
        case "access" if is_before:
            return reverse("shop:trial_access", args=[trial.number])
        case "mover" if is_before:
            return reverse("shop:trial_mover", args=[trial.number, Leg.OUT])
        case "delivered" if is_out:
            return reverse("shop:trial_delivered", args=[trial.number])
        case "mover_back" if life.known.started_on and may_come_back and not collection:
            return (
                "" if step.standing == PASSED else reverse("shop:trial_mover", args=[trial.number, Leg.BACK])
            )
        case "collected" if life.known.started_on and may_come_back:
            return reverse("shop:trial_collected", args=[trial.number])
        case "signed" if step.standing == PASSED:
            return reverse("shop:trial_signed_paper", args=[trial.number])
        case "handed_over" if life.hand_over:
            return life.hand_over.get_absolute_url()
        case "compared" if life.reports[1]:
            return life.reports[1].get_absolute_url()
    return ""
