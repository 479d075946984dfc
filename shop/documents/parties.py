"""Shop and customer side by side at the head of a paper that both sign."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Party
from instruments.documents.sheet import WIDTH
from instruments.documents.text import p

GAP = 22
HALF = (WIDTH - GAP) / 2


def two_parties(shop: Party, customer: Party) -> list[Flowable]:
    columns = [_party("The shop", shop), _party("The customer", customer)]
    return [Columns(columns, [HALF, HALF], gap=GAP, space_after=2)]


def _party(label: str, party: Party) -> list[Flowable]:
    return [
        *p(label, styles.LABEL),
        *p(party.name, styles.DATA_STRONG),
        *p("\n".join(line.strip() for line in party.address.splitlines() if line.strip()), styles.DATA),
        *p(" \u00b7 ".join(each for each in party.contacts if each), styles.BASIS),
    ]
