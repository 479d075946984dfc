"""The history handed to a buyer, as plain data: what it is, what is said of it, what was found and done.

It holds what may be shown to anybody and nothing else, says nothing of the day it is printed, and keeps the
same when it goes into the record and comes back: so its hash tells whether the record has changed since.
"""

from dataclasses import asdict, dataclass, fields, is_dataclass
from datetime import date
from typing import get_args, get_type_hints

from instruments.documents.content import Fact, Party, Photo


@dataclass(frozen=True)
class Lived:
    """One entry of the life line and its row in the table."""

    label: str
    detail: str
    dated: str
    mark: str
    kind: str
    lasts: bool
    when: str
    sentence: str
    basis: str


@dataclass(frozen=True)
class Said:
    topic: str
    sentence: str
    basis: str  # the grade, and the standing where it adds something


@dataclass(frozen=True)
class Examined:
    part: str
    condition: str
    note: str
    measured: str
    found_on: str


@dataclass(frozen=True)
class Done:
    name: str
    result: str
    measured: str
    limit: str  # why it was accepted outside its limits
    done_on: str


@dataclass(frozen=True)
class Serviced:
    """A visit after it was sold, or a fault put right then."""

    day: str
    what: str
    work: str
    pitch: str
    air: str
    keys: str


@dataclass(frozen=True)
class Pictured:
    sha256: str  # of the original
    caption: str
    words: str


@dataclass(frozen=True)
class History:
    stock_number: str
    maker: str
    kind: str
    sentence: str
    facts: tuple[Fact, ...]
    compass: str
    first_key: int
    key_count: int
    life: tuple[Lived, ...] = ()
    said: tuple[Said, ...] = ()
    tested: tuple[str, ...] = ()
    owners: str = ""
    owner_notes: tuple[str, ...] = ()
    examined: tuple[Examined, ...] = ()
    not_examined: tuple[str, ...] = ()
    done: tuple[Done, ...] = ()
    not_done: tuple[str, ...] = ()
    touch: tuple[str, ...] = ()
    photos: tuple[Pictured, ...] = ()
    not_known: tuple[str, ...] = ()
    serviced: tuple[Serviced, ...] = ()

    def plain(self) -> dict:
        """As it goes into the record. Without a visit it is word for word what it was before."""
        kept = _listed(asdict(self))
        if not self.serviced:
            del kept["serviced"]
        return kept

    @classmethod
    def from_plain(cls, kept: dict) -> "History":
        return _read(cls, kept)


def _listed(value):
    if isinstance(value, dict):
        return {name: _listed(each) for name, each in value.items()}
    return [_listed(each) for each in value] if isinstance(value, list | tuple) else value


def _read(kind: type, kept: dict):
    hints = get_type_hints(kind)
    return kind(
        **{
            each.name: _read_field(hints[each.name], kept[each.name])
            for each in fields(kind)
            if each.name in kept
        }
    )


def _read_field(hint, value):
    inner = (get_args(hint) or (None,))[0]
    if inner is None:
        return value
    return tuple(_read(inner, each) if is_dataclass(inner) else each for each in value)


@dataclass(frozen=True)
class HistoryPaper:
    """The history as it is printed once: by whom, when, under which number, and where it can be checked."""

    history: History
    shop: Party
    number: str
    issued_on: date
    sha256: str
    photos: tuple[Photo, ...] = ()
    public_address: str = ""


def build_history(paper: HistoryPaper) -> bytes:
    """The PDF on A4, as many pages as it needs. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.history_layout import lay_out

    return lay_out(paper)


def build_short_history(paper: HistoryPaper) -> bytes:
    """One page with a card of the size of a postcard to cut out: it fits inside the bottom door."""
    from shop.documents.history_card_layout import lay_out

    return lay_out(paper)
