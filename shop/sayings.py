"""A weighed statement as `calc.wording` puts it into a sentence."""

from instruments.calc.wording import RELATIONS, Saying
from instruments.standings import Weighed


def saying_of(weighed: Weighed, *, with_names: bool = True) -> Saying:
    """Without names nothing in it can tell who told us, but for the relation."""
    statement = weighed.statement
    return Saying(
        text=statement.text,
        grade=statement.grade,
        standing=weighed.standing.name,
        relation=statement.teller if statement.teller in RELATIONS else "",
        in_their_words=statement.in_their_words,
        dated=statement.dated_words,
        source=statement.source_note,
        is_public=statement.is_public,
        told_by=statement.told_by if with_names else "",
        told_on=f"{statement.told_on:%-d %B %Y}" if with_names and statement.told_on else "",
    )
