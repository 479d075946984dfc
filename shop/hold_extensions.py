"""How often a hold was extended, and the paper of each time: the first paper stays as it was printed."""

from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from django.utils import timezone

from shop.documents.hold_paper import HoldPaper
from shop.hold_words import hold_paper_of, terms_words
from shop.models import HoldTerms

WRITTEN = " in writing: "  # what `extend_hold` puts before what was written


@dataclass(frozen=True)
class Extension:
    """From which last day to which, when, and what was written."""

    position: int
    of: HoldTerms
    on: date
    before: date
    until: date
    why: str

    @property
    def number(self) -> str:
        return f"{self.of.number}-E{self.position}"


def extensions_of(terms: HoldTerms) -> list[Extension]:
    """The first first, from what the hold's own history tells of its last day."""
    found: list[Extension] = []
    for before, after in pairwise(terms.promise.history.order_by("history_id")):
        if before.until != after.until:
            on, why = timezone.localdate(after.history_date), after.history_change_reason or ""
            words = why.partition(WRITTEN)[2]
            found.append(Extension(len(found) + 1, terms, on, before.until, after.until, words))
    return found


def extension_paper_of(extension: Extension) -> HoldPaper:
    """Both days, and the terms as they were agreed, now to the later one."""
    first = hold_paper_of(extension.of)
    facts = (
        ("Held until", f"{extension.until:%-d %B %Y}"),
        ("Instead of", f"{extension.before:%-d %B %Y}"),
        ("Extended by", extension.why),
        *first.facts[1:],
    )
    return replace(
        first,
        number=extension.number,
        dated=extension.on,
        facts=facts,
        terms=terms_words(extension.of, extension.until),
        extends=extension.of.number,
    )
