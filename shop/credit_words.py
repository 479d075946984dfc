"""Terms of credit in plain words, for pages and for whoever reads the window."""

from datetime import date

from instruments.documents.dates import day_in_words
from shop.calc.credit_terms import FEES, CreditRule


def scale_words(rule: CreditRule, starts_on: date | None = None) -> str:
    """ "100 % at first, 80 % from month 2 on"; with a start, the first day of each step instead."""
    if len(rule.scale) == 1:
        return f"{rule.share_at_first} %, whenever it is"
    if starts_on is None:
        steps = [f"{share} % from month {month} on" for month, share in rule.scale[1:]]
        return ", ".join([f"{rule.share_at_first} % at first", *steps])
    steps = [f"{share} % from {day_in_words(day)} on" for day, share in rule.steps_by_day(starts_on)[1:]]
    return ", ".join([f"{rule.share_at_first} % from the first day", *steps])


def fees_words(rule: CreditRule) -> str:
    """Which fees count beside the price, and which do not."""
    counting = [fee for fee in FEES if fee in rule.fees_that_count]
    rest = [fee for fee in FEES if fee not in rule.fees_that_count]
    said = f"What is paid for {_listed(counting, 'and')} counts too. " if counting else ""
    return said + (f"What is paid for {_listed(rest, 'or')} does not count." if rest else "").strip()


def reach_words(rule: CreditRule) -> str:
    return "a dearer instrument only" if rule.only_dearer else "any other of our instruments"


def expiry_words(rule: CreditRule) -> str:
    months = rule.expires_after_months
    if months is None:
        return "What is left over in credit does not run out."
    return (
        f"What is left over in credit can be used for {months} month{'s' if months != 1 else ''} from the"
        " day of the exchange or return. We write to you before that, and nothing runs out by itself."
    )


def offer_words(rule: CreditRule) -> str:
    """For the window: "what you paid", or the shares, before "comes off another instrument"."""
    other = "another, dearer instrument" if rule.only_dearer else "another instrument"
    if rule.scale == ((0, 100),):
        return f"what you paid comes off {other}"
    if len(rule.scale) == 1:
        return f"{rule.share_at_first} % of what you paid comes off {other}"
    return f"what you paid comes off {other} by a scale: {scale_words(rule)}"


def _listed(words: list[str], last: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
