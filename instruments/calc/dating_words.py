"""Dating in words: a range of years, and what one more piece of evidence does to it."""

from collections.abc import Sequence

from instruments.calc.dating import Bound, Years, narrowed


def years_words(years: Years) -> str:
    """As it follows "made": "in 1912", "between 1910 and 1914", "in 1914 or earlier"."""
    earliest, latest = years
    if earliest is None and latest is None:
        return "at an unknown time"
    if latest is None:
        return f"in {earliest} or later"
    if earliest is None:
        return f"in {latest} or earlier"
    return f"in {earliest}" if earliest == latest else f"between {earliest} and {latest}"


def narrowing_sentences(years: Years, evidence: Sequence[Bound]) -> tuple[str, ...]:
    """One sentence for each piece, in the given order: what it says and what that does to the range.

    ValueError when the range to start from runs backwards.
    """
    before, sentences = years, []
    for step in narrowed(years, evidence):
        sentences.append(f"{_said(step.bound)}: {_effect(step.effect, before, step.years)}.")
        before = step.years
    return tuple(sentences)


def _said(bound: Bound) -> str:
    reason = " ".join(bound.reason.split()).rstrip(".")
    said = f"{bound.side} {bound.year}"
    return f"{reason[:1].upper()}{reason[1:]}, so {said}" if reason else said.capitalize()


def _effect(effect: str, before: Years, after: Years) -> str:
    if effect == "narrows":
        was = "" if before == (None, None) else f" instead of {years_words(before)}"
        return f"made {years_words(after)}{was}"
    if effect == "agrees":
        return f"this agrees with {_noun(before)} and does not narrow it"
    return f"this contradicts {_noun(before)}, which stays as it was until one of them is explained"


def _noun(years: Years) -> str:
    return f"a making {years_words(years)}"
