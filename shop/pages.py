"""Pages of long lists. Nobody leafs past a thousand rows, so no more are counted."""

from collections.abc import Sequence

from django.core.paginator import Page, Paginator
from django.utils.functional import cached_property

MOST_COUNTED = 1000


class CappedPaginator(Paginator):
    @cached_property
    def count(self) -> int:
        return self.object_list[: MOST_COUNTED + 1].count()

    @property
    def count_words(self) -> str:
        return f"more than {MOST_COUNTED:,}" if self.count > MOST_COUNTED else str(self.count)


def one_page(rows, asked: str | None, *, size: int) -> Page:
    """The page asked for; the nearest there is when that is none."""
    return CappedPaginator(rows, size).get_page(asked)


class KeyPaginator(CappedPaginator):
    """Over keys that are read already: how many there are and any page of them cost the same."""

    @cached_property
    def count(self) -> int:
        return len(self.object_list)


class PartOfMany(Sequence):
    """Of `count` keys those in the places of `part`; the others were not read."""

    def __init__(self, keys: list[int], part: range, count: int):
        self.keys, self.part, self.count = keys, part, count

    def __len__(self) -> int:
        return self.count

    def __getitem__(self, place: slice) -> list[int]:
        first, end, _ = place.indices(self.count)
        if (first, end) != (self.part.start, self.part.stop):
            raise IndexError("These keys were not read.")
        return self.keys


def part_of_many(asked: str | None, *, size: int) -> range:
    """Where the page asked for lies if there are more than are counted."""
    return page_of_keys(range(MOST_COUNTED + 1), asked, size=size).object_list


def page_of_keys(keys: Sequence[int], asked: str | None, *, size: int) -> Page:
    """The page of keys asked for; what stands beside them is then read for these few."""
    return KeyPaginator(keys, size).get_page(asked)
