"""The one-page papers of a home trial (extension, delivery, collection, settlement) as plain data.

They go into the record as they were read, so that a signature can be put under the same words later.
"""

from dataclasses import asdict, dataclass, field
from datetime import date

from instruments.documents.content import Fact, MoneyLine, Party
from shop.documents.trial_agreement import ScreenSignature


@dataclass(frozen=True)
class SlipPart:
    heading: str
    facts: tuple[Fact, ...] = ()
    money: tuple[MoneyLine, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class TrialSlip:
    title: str
    number: str
    dated: date
    shop: Party
    customer: Party
    sentence: str
    parts: tuple[SlipPart, ...]
    cautions: tuple[str, ...] = ()
    # Put under words that were there before: the hash of the words is the same with and without them.
    shop_signature: ScreenSignature | None = field(default=None, metadata={"hashed": False})
    customer_signature: ScreenSignature | None = field(default=None, metadata={"hashed": False})


def plain_slip(slip: TrialSlip) -> dict:
    """Its words without signatures, as values that fit into the record."""
    kept = asdict(slip)
    del kept["shop_signature"], kept["customer_signature"]
    return kept | {"dated": slip.dated.isoformat()}


def slip_from(kept: dict) -> TrialSlip:
    """The words again, as `plain_slip` put them away: the same words, and so the same hash."""
    parts = tuple(
        SlipPart(
            part["heading"],
            tuple(Fact(**each) for each in part["facts"]),
            tuple(MoneyLine(**each) for each in part["money"]),
            tuple(part["lines"]),
        )
        for part in kept["parts"]
    )
    parties = {name: _party(kept[name]) for name in ("shop", "customer")}
    fixed = {"dated": date.fromisoformat(kept["dated"]), "cautions": tuple(kept["cautions"]), "parts": parts}
    return TrialSlip(**(kept | parties | fixed))


def _party(kept: dict) -> Party:
    return Party(kept["name"], kept["address"], tuple(kept["contacts"]))


def build_trial_slip(slip: TrialSlip) -> bytes:
    """The PDF: one page for ordinary words. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.trial_slip_layout import lay_out

    return lay_out(slip)
