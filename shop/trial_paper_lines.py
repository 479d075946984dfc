"""The papers of a home trial as its page lists them: which there are, and who signed them."""

from dataclasses import dataclass

from shop.models import PaperSignature
from shop.states import PaperKind, Signer, TrialState
from shop.trial_life import TrialLife


@dataclass(frozen=True)
class SlipLine:
    kind: str
    title: str
    when: str
    has_happened: bool
    signature: PaperSignature | None


def slip_lines(life: TrialLife) -> list[SlipLine]:
    trial = life.trial
    if trial.state == TrialState.DRAFT:
        return []
    found = []
    if life.delivery or trial.state == TrialState.OUT:
        delivered = life.delivery and life.delivery.delivered_on
        found.append(("Delivery note", PaperKind.TRIAL_DELIVERY, delivered))
    if extension := trial.extensions.last():
        found.append((f"Extension {extension.number}", PaperKind.TRIAL_EXTENSION, extension.agreed_on))
    if life.collection or life.mover_back:
        fetched = life.collection and life.collection.collected_on
        found.append(("Collection note", PaperKind.TRIAL_COLLECTION, fetched))
    if trial.state == TrialState.ENDED:
        found.append(("Settlement", PaperKind.TRIAL_SETTLEMENT, trial.ended_on))
    signed = _signatures(trial)
    return [
        SlipLine(kind, title, f"{day:%-d %b %Y}" if day else "to come", bool(day), signed.get(kind))
        for title, kind, day in found
    ]


def _signatures(trial) -> dict[str, PaperSignature]:
    """The customer's under the newest print of each kind that was signed, if it bears the newest number."""
    newest = {}
    for kind, number in trial.papers.order_by("id").values_list("kind", "number"):
        newest[kind] = number
    rows = PaperSignature.objects.filter(paper__trial=trial, signer=Signer.CUSTOMER)
    return {
        row.paper.kind: row
        for row in rows.select_related("paper", "document").order_by("id")
        if newest[row.paper.kind] == row.paper.number
    }
