"""What speaks against terms of credit, and what they have against an exchange: the page prints it."""

from fractions import Fraction

from instruments.problems import Blocker, Caution, Problem
from shop.calc.credit_terms import LONGEST_TRIAL_MONTHS, CreditRule
from shop.models import Trial
from workorders.calc.money import share_minor
from workorders.currency import exponent, in_words

RUNS_OUT_CAUTION = (
    "Money that a customer has paid and loses after a time may rest on an unfair term (in the UK: Consumer "
    "Rights Act 2015, Part 2). Take advice, tell them in good time, and check the law in force; this is not "
    "legal advice."
)

EXAMPLE = 1000  # whole pounds, or what the shop reckons in


def scale_cautions(rule: CreditRule) -> list[Problem]:
    """For the shop's own terms, by an example: the lowest share of the scale, and where it ends."""
    lowest, last = min(share for _, share in rule.scale), rule.scale[-1][1]
    when = "in the end" if lowest == last else "at the lowest"
    cautions = _share_cautions(lowest, EXAMPLE * 10 ** exponent(), when)
    return [Caution(f"{each.sentence}{_end_words(rule, lowest)}") for each in cautions]


def _end_words(rule: CreditRule, lowest: int) -> str:
    """Where the scale ends, if not at its lowest, and what of it no home trial reaches."""
    month, last = rule.scale[-1]
    end = "" if lowest == last else f" In the end, from month {month} on, {last} % counts."
    beyond = [month for month, _ in rule.scale if month >= LONGEST_TRIAL_MONTHS]
    if not beyond:
        return end
    return (
        f"{end} A home trial is shorter than {LONGEST_TRIAL_MONTHS} months: none reaches what begins in "
        f"month {beyond[0]} or later."
    )


def share_cautions(trial: Trial) -> list[Problem]:
    """For one trial, in its own figures, by the share of its last day."""
    return _share_cautions(
        trial.credit_terms.rule.percent_on(trial.starts_on, trial.ends_on), trial.pay_now_minor, "in the end"
    )


def _share_cautions(percent: int, paid_minor: int, when: str) -> list[Problem]:
    if percent == 100 or not paid_minor:
        return []
    counts = share_minor(paid_minor, Fraction(percent, 100))
    paid, across, left = (in_words(each) for each in (paid_minor, counts, paid_minor - counts))
    sentence = (
        f"These terms reward returning over exchanging. Of {paid} paid, {percent} % counts {when}: who "
        f"exchanges takes {across} to the other instrument and leaves {left} with us, and who returns it is "
        f"given {paid} back."
    )
    return [Caution(sentence)]


def exchange_problems(
    trial: Trial, other_price_minor: int, *, exception: str = "", may_except: bool = False
) -> list[Problem]:
    """Only toward a dearer one, where the terms say so; the owner may make an exception and say why."""
    if trial.credit_terms.rule.reaches(trial.price_minor, other_price_minor):
        return []
    prices = f"this one is {in_words(trial.price_minor)}, that one {in_words(other_price_minor)}"
    rule = f"By the terms of {trial.number} what was paid counts only toward a dearer instrument: {prices}."
    if not exception.strip():
        return [Blocker(f"{rule} The owner may make an exception and say why.", "#id_exception")]
    if not may_except:
        return [Blocker(f"{rule} Only the owner may make an exception.", "#id_exception")]
    return [Caution(f"{rule} The owner makes an exception: {exception.strip()}")]
