"""The guarantee a buyer is given, as plain data, and the service card that stays with the piano."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, Party


@dataclass(frozen=True)
class CoveredLine:
    part: str
    months: str
    until: str
    note: str


@dataclass(frozen=True)
class GuaranteePaper:
    number: str
    given_on: date
    shop: Party
    buyer: Party
    instrument: str
    facts: tuple[Fact, ...]
    begins: str
    covered: tuple[CoveredLine, ...]
    not_covered: tuple[str, ...]
    needs: tuple[str, ...]
    excluded: str
    tunings: tuple[str, ...]
    how_to_claim: str
    caution: str
    special: str = ""


@dataclass(frozen=True)
class CardRow:
    """One visit on the card; an empty one is left to be written in by whoever tunes it next."""

    day: str = ""
    work: str = ""
    pitch: str = ""
    air: str = ""
    next_due: str = ""


@dataclass(frozen=True)
class ServiceCard:
    shop: Party
    instrument: str
    facts: tuple[Fact, ...]
    printed_on: date
    rows: tuple[CardRow, ...]
    advice: tuple[str, ...] = ()


def build_guarantee(paper: GuaranteePaper) -> bytes:
    """The PDF. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.guarantee_layout import lay_out

    return lay_out(paper)


def build_service_card(card: ServiceCard) -> bytes:
    """One page of A4 with a card of half its size to cut out and keep under the lid."""
    from shop.documents.service_card_layout import lay_out

    return lay_out(card)
