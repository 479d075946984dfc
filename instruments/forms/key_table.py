"""A table with a row for every key, cut into octaves: what forms share that are filled in key by key."""

from dataclasses import dataclass
from itertools import groupby

from instruments.calc import compass

KEY_OF_C1 = 4


@dataclass
class RowOfKey:
    """`position` counts from the lowest key of this instrument; a subclass adds its boxes and `wrong`."""

    key: int
    position: int

    @property
    def note(self) -> str:
        return compass.note_label(self.key)

    @property
    def is_sharp(self) -> bool:
        return compass.is_sharp(self.key)


class KeyTable:
    """For a form whose `rows` are `RowOfKey`s with a list of sentences, `wrong`, in each."""

    rows: list

    @property
    def octaves(self) -> list[list]:
        """The rows cut before every C, as the hand sees the keyboard."""
        return [list(rows) for _, rows in groupby(self.rows, key=lambda row: (row.key - KEY_OF_C1) // 12)]

    @property
    def wrong_rows(self) -> list:
        return [row for row in self.rows if row.wrong]
