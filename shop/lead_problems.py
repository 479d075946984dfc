"""What to be wary of when somebody offers a piano. The page prints it."""

from instruments.problems import Caution, Problem
from shop.models import Lead, OfferCalculation, ShopProfile
from shop.states import LEADS_THAT_WAIT, LeadState, ProtectedTold
from workorders.currency import in_words

# TRADE.md section 1: two frauds that begin with a piano for nothing or a cheque for too much.
MOVER_FRAUD = (
    "A piano for nothing that only wants a mover’s fee first is an old fraud: the fee goes to a “mover” whom "
    "nobody knows, and there is no piano. Pay no mover that we have not chosen ourselves."
)
CHEQUE_FRAUD = (
    "Never send money back out of a payment, whatever the reason: an overpaid cheque or transfer bounces "
    "weeks after the “mover” or the difference has been paid from it."
)


def why_decided(lead: Lead) -> str:
    """What became of it, once nothing more is done with it."""
    if lead.state in LEADS_THAT_WAIT:
        return ""
    return f"{lead.number} has ended: {lead.get_state_display().lower()}. {lead.decision}"


def lead_cautions(lead: Lead, *, with_costs: bool = False) -> list[Problem]:
    """`with_costs` where the reader may know what we offered and what it rested on."""
    if not lead.is_open:
        return []
    cautions = [Caution(CHEQUE_FRAUD)]
    if lead.asking_minor == 0:
        cautions.insert(0, Caution(MOVER_FRAUD))
    if (
        lead.protected_told in {ProtectedTold.IVORY, ProtectedTold.NOT_KNOWN}
        and ShopProfile.current().jurisdiction == "uk"
    ):
        cautions.append(
            Caution(
                "In the UK the seller has to register ivory as exempt before we may buy, and the "
                "registration ends when it changes hands (Ivory Act 2018, ss. 10, 11). Check the law in "
                "force; this is not legal advice."
            )
        )
    if not lead.serial:
        cautions.append(Caution("No serial number yet: ask for its photograph first."))
    if lead.state == LeadState.OFFERED:
        calculation = lead.calculations.first()
        if calculation is None:
            cautions.append(Caution("An offer was made that no calculation on file stands behind."))
        elif with_costs:
            cautions += offer_cautions(lead.offered_minor, calculation)
    return cautions


def offer_cautions(offered_minor: int | None, calculation: OfferCalculation | None) -> list[Problem]:
    """An offer above the most that the newest calculation allows: both figures, and by how much."""
    if calculation is None or offered_minor is None or offered_minor <= calculation.most_minor:
        return []
    above, most = in_words(offered_minor - calculation.most_minor), in_words(calculation.most_minor)
    return [
        Caution(
            f"{in_words(offered_minor)} is {above} above the most we may pay, {most} by the calculation of "
            f"{calculation.calculated_on:%-d %B %Y}. What is paid above it comes out of the profit wanted."
        )
    ]
