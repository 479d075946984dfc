"""The terms of a hold in words: on its page, on its paper and on the receipt of its deposit."""

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from instruments.problems import Caution, Problem
from shop.actions.papers import person_party, shop_party
from shop.calc.hold_terms import is_large
from shop.documents.hold_paper import HoldPaper
from shop.invoice_words import description_of
from shop.models import HoldTerms, Promise, ShopProfile
from workorders.currency import in_words

LAW = "These terms take away no right that you have by law."
CHECK_THE_LAW = (
    "Blanket non-refundable terms are likely unfair: only a real loss may be kept (Consumer Rights Act 2015, "
    "Part 2). Check the law in force; this is not legal advice."
)


USUAL = ("hold_days", "hold_full_days", "hold_keep_percent", "hold_keep_most_minor")
MOST_CHANGES = 500


@dataclass(frozen=True)
class UsualTerms:
    """What a new hold starts from, and since when; None where they are as they were shipped."""

    words: str
    since: date | None


def usual_terms() -> UsualTerms:
    shop = ShopProfile.current()
    words = f"held for {_days(shop.hold_days)}; a deposit goes back in full for {_days(shop.hold_full_days)}"
    if shop.hold_keep_percent:
        words += f", afterwards at most {shop.hold_keep_percent} % of it is kept, for a real loss"
        if shop.hold_keep_most_minor is not None:
            words += f" and never more than {in_words(shop.hold_keep_most_minor)}"
    else:
        words += ", and afterwards too"
    now = tuple(getattr(shop, name) for name in USUAL)
    since = None
    rows = ShopProfile.history.order_by("-history_date", "-history_id")
    for *figures, changed_at in rows.values_list(*USUAL, "history_date")[:MOST_CHANGES]:
        if tuple(figures) != now:
            break
        since = timezone.localdate(changed_at)
    return UsualTerms(words, since)


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def terms_words(terms: HoldTerms, until: date | None = None) -> tuple[str, ...]:
    """Until the day agreed at first, or a later one that it was extended to."""
    deposit = in_words(terms.deposit_minor)
    until = f"{until or terms.until:%-d %B %Y}"
    after = "After that day we may offer it to others, unless we extend the hold in writing."
    if not terms.deposit_minor:
        return (f"We hold it for you until {until}, without a deposit. {after}", LAW)
    return (
        f"A deposit of {deposit} holds it for you until {until}. {after}",
        "The deposit counts toward the price if you buy the instrument.",
        *_kept_words(terms),
        "If it is we who cannot keep our word, you have the whole deposit back.",
        LAW,
    )


def _kept_words(terms: HoldTerms) -> tuple[str, ...]:
    if not terms.keep_percent or terms.keep_most_minor == 0:
        return ("If you let it go you have the whole deposit back, whenever that is.",)
    most = terms.deposit_minor * terms.keep_percent // 100
    if terms.keep_most_minor is not None:
        most = min(most, terms.keep_most_minor)
    return (
        f"If you let it go by {terms.full_until:%-d %B %Y} you have the whole deposit back.",
        "If you let it go later we may keep only what we really lose by it, and of this deposit never more "
        f"than {in_words(most)}. We tell you what the loss is; you have the rest back.",
    )


def deposit_cautions(terms: HoldTerms) -> list[Problem]:
    share = ShopProfile.current().hold_large_percent
    if not is_large(terms.deposit_minor, terms.asking_minor, share):
        return []
    return [
        Caution(
            f"The deposit of {in_words(terms.deposit_minor)} is more than {share} % of the price asked, "
            f"{in_words(terms.asking_minor)}. A reservation deposit should be a small share of it; that "
            "share is common practice, no source. " + CHECK_THE_LAW
        )
    ]


def hold_paper_of(terms: HoldTerms) -> HoldPaper:
    promise: Promise = terms.promise
    instrument = promise.instrument
    asking = in_words(terms.asking_minor) if terms.asking_minor is not None else ""
    return HoldPaper(
        number=terms.number,
        dated=promise.opened_on,
        shop=shop_party(ShopProfile.current()),
        customer=person_party(promise.person),
        facts=(
            ("Held until", f"{terms.until:%-d %B %Y}"),
            ("Deposit", in_words(terms.deposit_minor) if terms.deposit_minor else "none"),
            ("Price asked that day", asking),
            ("Our number", instrument.stock_number),
        ),
        description=description_of(instrument),
        terms=terms_words(terms),
        also=promise.note,
    )
