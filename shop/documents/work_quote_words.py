"""What every quote for work says in plain words: how it is approved, changed, paid and cancelled."""

from instruments.documents.content import Clause
from instruments.documents.dates import day_in_words
from shop.documents.work_quote import WorkQuote

FINAL_ASKS = "Tick each of these lines by itself, or it is not agreed."
CAUTION = (
    "Check the law where you live; this is not legal advice. Nothing here takes away a right that the law "
    "gives you."
)


def opening_sentence(quote: WorkQuote) -> str:
    return f"{quote.title}: {quote.instrument}, for {quote.customer.name}."


def clauses(quote: WorkQuote) -> tuple[Clause, ...]:
    return (
        Clause(
            "When it begins",
            "We begin when we have your written yes to this very version: this paper signed, or a letter, "
            f"e-mail or message that names it. It holds until {day_in_words(quote.valid_until)}; after "
            "that we quote again.",
        ),
        Clause("Changes and extras", _change_words(quote)),
        Clause(
            "What we find inside",
            "A piano shows some of its faults only when it is open. We stop, tell you what we found and "
            "what it would cost, and go on when you have answered.",
        ),
        Clause("Paying", _paying_words(quote)),
        Clause(
            "Proof",
            "Where we measure, you get the readings. A touch you wish for is judged key by key on a "
            "weigh-off against your own curve.",
        ),
        Clause(
            "If you change your mind",
            "Agreed at a distance or away from our premises, you may have a time in which the law lets "
            "you cancel without a reason, and a form for it. That right may not reach things made to your "
            "own wishes, nor work that was done in full because you asked us to begin at once. Ask us "
            "before you sign.",
        ),
    )


def _change_words(quote: WorkQuote) -> str:
    words = "Nothing is added, left out or done otherwise without a new version and your written yes to it."
    if quote.extras_cap:
        words += (
            f" Small extras up to {quote.extras_cap} in all may be done without asking again; each is named "
            "on the account."
        )
    return words


def _paying_words(quote: WorkQuote) -> str:
    deposit = f"A deposit of {quote.deposit} is due with your yes. " if quote.deposit else ""
    return f"{deposit}The rest is due when the work is done. All prices include tax where tax is due."


FINAL_WORDS = "cannot be undone"
