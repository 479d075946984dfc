"""The card that stands on an instrument in the window: what it says, as plain data."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class WindowCard:
    shop_name: str
    telephone: str
    maker: str
    what: str  # "Overstrung upright, 122 cm tall"
    made: str
    made_basis: str
    facts: tuple[str, ...]
    price: str
    stock_number: str
    printed_on: date
    public_address: str = ""


def build_window_card(card: WindowCard) -> bytes:
    """The PDF, one A5 page whatever its words are."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.window_card_layout import lay_out

    return lay_out(card)
