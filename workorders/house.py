"""Whose house it is, as the head of a paper names it. The bench does not know; another app says so."""

from collections.abc import Callable

from instruments.documents.content import Party

_NAMED_BY: list[Callable[[], Party]] = []


def register_house(named_by: Callable[[], Party]) -> None:
    """From now on the bench's papers carry this name and address; the last to register is asked."""
    _NAMED_BY.append(named_by)


def our_house() -> Party:
    return _NAMED_BY[-1]() if _NAMED_BY else Party(name="")
