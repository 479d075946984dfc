"""What follows from protected material in an instrument. The page prints it, the action refuses by it."""

from django.urls import reverse

from instruments.models import Instrument
from instruments.problems import Blocker, Caution, Problem
from shop.calc.protected import BLOCKED, FREE
from shop.protected import verdict_of


def protected_material_problems(instrument: Instrument, *, act: str) -> list[Problem]:
    """For one of buying, offering, lending, exchanging, selling, exporting: why not, or what to mind."""
    verdict = verdict_of(instrument, act)
    if verdict.level == FREE:
        return []
    kind = Blocker if verdict.level == BLOCKED else Caution
    page = reverse("shop:protected_materials", args=[instrument.stock_number])
    return [kind(verdict.with_caution, page)]
