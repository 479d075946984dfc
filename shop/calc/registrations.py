"""When a registration of protected material has ended: with each change of owner (Ivory Act 2018 s 11(1))."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Owning:
    """Whose it was and is: the day the shop bought it (where it has), and the last day it was sold on."""

    is_ours: bool = False
    bought_on: date | None = None
    sold_on: date | None = None


def ended_because(*, in_sellers_name: bool, issued_on: date | None, owning: Owning, to_buy: bool) -> str:
    """Why a registration stands no longer, in a clause after "it"; "" while it stands.

    A purchase after its day ends it, and so does a sale on its day or after. A paper whose day is not written
    down is not shown to be newer than a change of owner. `to_buy` asks for the purchase itself: what ended
    with that very purchase stood before.
    """
    if owning.sold_on and (issued_on is None or owning.sold_on >= issued_on):
        return f"ended when the piano was sold on {_day(owning.sold_on)}"
    if to_buy:
        return ""
    if in_sellers_name:
        return "was the seller’s and ended when the shop bought the piano" if owning.is_ours else ""
    if owning.bought_on is None:
        return ""
    if issued_on is None:
        return "has no day of issue on file, and so is not shown to be from after the shop bought the piano"
    if owning.bought_on > issued_on:
        return f"is older than the purchase of {_day(owning.bought_on)}, and ended with it"
    return ""


def _day(day: date) -> str:
    return f"{day:%-d %B %Y}"
