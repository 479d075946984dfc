"""Whose names the public never reads: who sold an instrument to us, and who told us of it."""

from collections.abc import Iterable

from instruments.calc.wording import names_in
from instruments.models import Instrument, Statement
from instruments.standings import Weighed


def private_names(instrument: Instrument) -> list[str]:
    """Sellers and tellers; words without a capital ("a neighbour") are nobody's name."""
    sellers = instrument.purchases.filter(seller__isnull=False).values_list("seller__name", flat=True)
    tellers = instrument.statements.exclude(told_by="").values_list("told_by", flat=True)
    return [
        name
        for name in dict.fromkeys([*sellers, *tellers])
        if any(word[:1].isupper() for word in name.split())
    ]


def names_somebody(statement: Statement, names: Iterable[str]) -> bool:
    said = " / ".join([statement.text, statement.source_note, statement.place])
    return bool(names_in(said, names))


def fit_for_the_public(instrument: Instrument, weighed: Iterable[Weighed]) -> list[Weighed]:
    """The statements that are public and name nobody who sold it or told of it."""
    names = private_names(instrument)
    return [
        each for each in weighed if each.statement.is_public and not names_somebody(each.statement, names)
    ]
