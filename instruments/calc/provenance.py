"""The line of owners as a provenance text, by museum convention.

Sources: AAM Guide to Provenance Research (2001), as quoted in published conventions; Art Institute of
Chicago, "How to read provenance texts": earliest first; a semicolon where one owner passed it directly to
the next, a full stop where that is not known; "possibly" or "probably" before what is not verified, with a
note; dealers in parentheses, life dates in brackets. Custody beside ownership: CIDOC CRM, E8 Acquisition and
E10 Transfer of Custody, so that a loan moves the one and not the other.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from instruments.calc.evidence import CONTRADICTED, RISING, SUPPORTED

TRANSFERS = ("sold to", "given to", "by descent to", "by bequest to", "by exchange to", "passed to")
CERTAINTIES = ("", "possibly", "probably")
PRIVATE_OWNER, UNKNOWN_OWNER = "private owner", "owner not known"


@dataclass(frozen=True, slots=True)
class Owner:
    """One owner or dealer, in the order of time.

    `standing` is that of the statement on it (evidence.RISING): less than supported never prints as a fact.
    `directly`: from the owner before, by `transfer`. An empty name is an owner nobody knows, and is kept.
    `public_name` stands in for the name in public; without it a private owner stays one.
    """

    name: str
    standing: str
    transfer: str = ""
    directly: bool = False
    certainty: str = ""
    is_dealer: bool = False
    life: str = ""
    place: str = ""
    dated: str = ""
    note: str = ""
    public_name: str = ""

    def __post_init__(self) -> None:
        if self.standing not in RISING:
            raise ValueError(f"“{self.standing:.20}” is not a standing: {', '.join(RISING)}.")
        if self.transfer and self.transfer not in TRANSFERS:
            raise ValueError(f"A transfer is one of: {', '.join(TRANSFERS)}.")
        if self.certainty not in CERTAINTIES:
            raise ValueError("What is not verified is “possibly” or “probably” so.")


@dataclass(frozen=True, slots=True)
class ProvenanceText:
    """The text, with a number in brackets where a note belongs, and the notes in that order."""

    text: str
    notes: tuple[str, ...] = ()


def provenance_text(owners: Iterable[Owner], *, public: bool = False) -> ProvenanceText:
    """The owners in their order, without those contradicted; what came after one is no longer direct.

    In public nobody is named who has no public name, and life dates and notes of such a one are left out.
    """
    text, notes, is_joined = "", [], False
    for owner in owners:
        if owner.standing == CONTRADICTED:
            is_joined = False
            continue
        words = _owner_words(owner, public=public)
        if owner.note and not (public and not owner.public_name):
            notes.append(_one_line(owner.note))
            words += f" [{len(notes)}]"
        if text:
            text += "; " if is_joined and owner.directly else ". "
        text += words
        is_joined = True
    return ProvenanceText(text, tuple(notes))


def _owner_words(owner: Owner, *, public: bool) -> str:
    is_hidden = public and not owner.public_name
    name = owner.public_name if public and owner.public_name else owner.name
    who = _plain(name) or UNKNOWN_OWNER
    if is_hidden and owner.name:
        who = PRIVATE_OWNER
    if owner.life and not is_hidden:
        who += f" [{_plain(owner.life)}]"
    place = f", {_plain(owner.place)}" if owner.place and not is_hidden else ""
    who = f"({who}{place})" if owner.is_dealer else f"{who}{place}"
    dated = f", {_plain(owner.dated)}" if owner.dated else ""
    certainty = owner.certainty or ("" if owner.standing == SUPPORTED else "possibly")
    return " ".join(filter(None, [certainty, owner.transfer, who])) + dated


def _plain(words: str) -> str:
    """Without the marks that mean something in this text: stops inside a name would read as gaps."""
    without_stops = re.sub(r"\.(?=\s|$)", "", _one_line(words).replace(";", ","))
    return re.sub(r"[()\[\]]", "", without_stops).strip(" ,")


def _one_line(words: str) -> str:
    return " ".join(words.split())


ACQUISITIONS = {"made for", "sale", "gift", "descent", "bequest", "exchange"}
CUSTODIES = {"loan", "hire", "storage", "return", "loss", "theft"}


@dataclass(frozen=True, slots=True)
class Event:
    """A change of owner or of holder. `giver` and `taker` may be unknown (""): the event stays on record."""

    kind: str
    taker: str = ""
    giver: str = ""
    dated: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ACQUISITIONS | CUSTODIES:
            raise ValueError(f"“{self.kind:.20}” changes neither owner nor holder.")


def owner_and_holder(events: Sequence[Event]) -> tuple[str, str]:
    """Who owns and who holds it after the events, in their order; "" is not known.

    An acquisition moves both, a loan, hire, storage, return, loss or theft only the holder.
    """
    owner = holder = ""
    for event in events:
        holder = event.taker
        if event.kind in ACQUISITIONS:
            owner = event.taker
    return owner, holder
