"""Whose names the public never reads: who sold an instrument to us, and who told us of it."""

import re
from collections.abc import Iterable

from instruments.calc.wording import names_in
from instruments.models import Instrument, Statement
from instruments.models.together import asking
from instruments.standings import Weighed

MAIL_ADDRESS = re.compile(r"\S+@\S+")
TELEPHONE = re.compile(r"\+?\d(?:[\s()./-]*\d){6,}")


@asking
def private_names(instrument: Instrument):
    """A list of sellers and tellers; words without a capital ("a neighbour") are nobody's name."""
    sellers = instrument.purchases.filter(seller__isnull=False).values_list("seller__name", flat=True)
    tellers = instrument.statements.exclude(told_by="").values_list("told_by", flat=True)
    sellers, tellers = yield sellers, tellers
    return [
        name
        for name in dict.fromkeys([*sellers, *tellers])
        if any(word[:1].isupper() for word in name.split())
    ]


def customers_of(instrument: Instrument) -> list[str]:
    """Whoever had it promised, by us or to try, and whoever called back: buyers are nobody's business."""
    promised = instrument.promises.values_list("person__name", flat=True)
    return list(dict.fromkeys([*promised, *instrument.taken_in.values_list("person__name", flat=True)]))


def without_name(words: str, name: str) -> str:
    """Somebody's own words as those may read them who see no people: each word of the name is left out."""
    parts = [re.escape(part) for part in name.split() if len(part) > 1]
    return re.sub(rf"\b(?:{'|'.join(parts)})\b", "…", words, flags=re.IGNORECASE) if parts else words


def without_contact(words: str, name: str) -> str:
    """As `without_name`, and without anything that reads like an e-mail address or a telephone number."""
    return TELEPHONE.sub("…", MAIL_ADDRESS.sub("…", without_name(words, name)))


def names_somebody(statement: Statement, names: Iterable[str]) -> bool:
    said = " / ".join([statement.text, statement.source_note, statement.place])
    return bool(names_in(said, names))


def fit_for_the_public(instrument: Instrument, weighed: Iterable[Weighed]) -> list[Weighed]:
    """The statements that are public and name nobody who sold it or told of it."""
    names = private_names(instrument)
    return [
        each for each in weighed if each.statement.is_public and not names_somebody(each.statement, names)
    ]
