"""What follows from protected material in an instrument. The page prints it, the action refuses by it."""

from django.urls import reverse

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.problems import Blocker, Caution
from instruments.states import Covering
from shop.calc.protected import BLOCKED, FREE
from shop.models import Clearance
from shop.protected import FileOfOneOffered, verdict_of


@asking
def protected_material_problems(instrument: Instrument, *, act: str):
    """For one of buying, offering, lending, exchanging, selling, exporting: why not, or what to mind."""
    verdict = yield from verdict_of.later(instrument, act)
    if verdict.level == FREE:
        return []
    kind = Blocker if verdict.level == BLOCKED else Caution
    page = reverse("shop:protected_materials", args=[instrument.stock_number])
    return [kind(verdict.with_caution, page)]


def why_not_bought(instrument: Instrument, clearance: Clearance | None) -> tuple[str, str] | None:
    """For a piano that is about to be bought, neither row saved: the field that mends it, and the sentence.

    What nobody has looked at is mended by looking, ivory by the seller's registration.
    """
    verdict = FileOfOneOffered(instrument, clearance).verdict("buying")
    if verdict.level != BLOCKED:
        return None
    coverings = {"natural_covering": instrument.natural_covering, "sharp_covering": instrument.sharp_covering}
    unknown = [name for name, covering in coverings.items() if covering == Covering.UNKNOWN]
    mends = unknown[0] if unknown and not clearance else "registration"
    return mends, verdict.with_caution
