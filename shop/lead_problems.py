"""What to be wary of when somebody offers a piano. The page prints it."""

from instruments.problems import Caution, Problem
from shop.models import Lead, ShopProfile
from shop.states import LeadState, ProtectedTold

# TRADE.md section 1: two frauds that begin with a piano for nothing or a cheque for too much.
MOVER_FRAUD = (
    "A piano for nothing that only wants a mover’s fee first is an old fraud: the fee goes to a “mover” whom "
    "nobody knows, and there is no piano. Pay no mover that we have not chosen ourselves."
)
CHEQUE_FRAUD = (
    "Never send money back out of a payment, whatever the reason: an overpaid cheque or transfer bounces "
    "weeks after the “mover” or the difference has been paid from it."
)


def lead_cautions(lead: Lead) -> list[Problem]:
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
    if lead.state == LeadState.OFFERED and not lead.calculations.exists():
        cautions.append(Caution("An offer was made that no calculation on file stands behind."))
    return cautions
