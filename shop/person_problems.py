"""What stands against joining two cards, or against parting them again."""

from instruments.problems import Blocker, Caution, Problem
from shop.calc.doubles import name_key
from shop.doubles import own_credits, tie_between
from shop.models import Person
from workorders.currency import in_words


def joining_problems(double: Person, into: Person) -> list[Problem]:
    """`double` would point at `into`, whose card stands."""
    if double.pk == into.pk:
        return [Blocker("That is the same card.")]
    problems: list[Problem] = [
        Blocker(f"The card of {each}, no. {each.pk}, is joined with another already.")
        for each in (double, into)
        if each.merged_into_id
    ]
    problems += [
        Blocker(f"The card of {each}, no. {each.pk}, was closed at the person’s request.")
        for each in (double, into)
        if each.closed_on
    ]
    if problems:
        return problems
    if name_key(double.name) != name_key(into.name):
        problems.append(Caution(f"The names differ: {double.name}, and {into.name}."))
    theirs = into.whole("waiting_places").open().values("instrument")
    if double.whole("waiting_places").open().filter(instrument__in=theirs).exists():
        problems.append(
            Caution("Both wait for the same instrument. The earlier place stays, the later one is closed.")
        )
    return problems


def parting_problems(double: Person) -> list[Problem]:
    """Rows keep the card that they were written under, so cards part again, unless a row spans two."""
    if double.merged_into_id is None:
        return [Blocker(f"The card of {double}, no. {double.pk}, is not joined with another.")]
    if double.standing_card.closed_on:
        return [Blocker("The card that it is joined with was closed at the person’s request.")]
    if tie := tie_between(double):
        kind = tie._meta.verbose_name
        return [
            Blocker(
                f"Since they were joined, something was written across both cards (the {kind} {_of(tie)}). "
                "They stay together."
            )
        ]
    own, others = own_credits(double)
    if own < 0 or others < 0:
        return [
            Blocker(
                f"Credit was used across both cards: apart, one would stand at {in_words(min(own, others))}. "
                "They stay together."
            )
        ]
    return []


def _of(row) -> str:
    return getattr(row, "number", "") or f"no. {row.pk}"
