"""The usual after-care of the shop, and what is agreed with one sale before its guarantee is printed."""

import json
from pathlib import Path

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.models import Instrument
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from shop.calc.after_care import CareTerms, PartTerms
from shop.care_problems import changing_care_problems
from shop.fingerprints import fingerprint
from shop.models import GuaranteePart, Sale, SaleCare, UsualCare

PARTS_FILE = Path(__file__).resolve().parents[2] / "fixtures" / "guarantee.json"
OF_A_PART = ("name", "covered", "months", "note")
OF_THE_SHOP = (
    *("runs_from", "tunings_a_year", "keeps_receipts", "asks_first", "humidity_low", "humidity_high"),
    *("excluded", "included_tunings", "first_from_days", "first_to_days", "first_year", "later"),
)


@transaction.atomic
def load_guarantee_parts() -> list[GuaranteePart]:
    """Bring the parts up to their file; returns what was added or changed. The shop's own changes stay."""
    known = {part.code: part for part in GuaranteePart.objects.all()}
    changed = []
    for place, row in enumerate(json.loads(PARTS_FILE.read_text(encoding="utf-8"))["parts"], start=1):
        part = known.get(row["code"])
        words = {name: row[name] for name in OF_A_PART}
        if part and (not part.is_as_shipped or {name: getattr(part, name) for name in OF_A_PART} == words):
            continue
        part = part or GuaranteePart(code=row["code"], position=10 * place, is_as_shipped=True)
        for name, value in words.items():
            setattr(part, name, value)
        save_tracked(part, by=None, why="Loaded from the shipped guarantee")
        changed.append(part)
    return changed


@transaction.atomic
def save_guarantee_part(*, part: GuaranteePart, by) -> GuaranteePart:
    """Add or change a part; guarantees given from here on start from it."""
    verb = "added to" if part.pk is None else "changed in"
    part.is_as_shipped = False
    save_tracked(part, by=by, why=f"“{part.name}” {verb} our guarantee")
    return part


@transaction.atomic
def change_usual_care(*, by, **terms) -> UsualCare:
    usual = UsualCare.current()
    for name, value in terms.items():
        setattr(usual, name, value)
    save_tracked(usual, by=by, why="Our usual after-care changed")
    return usual


def usual_terms() -> CareTerms:
    """What a new sale starts from."""
    usual = UsualCare.current()
    parts = tuple(
        PartTerms(part.code, part.name, part.covered, part.months, part.note)
        for part in GuaranteePart.objects.all()
    )
    return CareTerms(parts=parts, **{name: getattr(usual, name) for name in OF_THE_SHOP})


@transaction.atomic
def agree_care(*, sale: Sale, terms: CareTerms, reminds: bool = True, by) -> SaleCare:
    """Keep what this sale comes with. Until its guarantee is printed a newer row takes its place."""
    Instrument.objects.select_for_update().get(pk=sale.instrument_id)
    refuse_if_blocked(changing_care_problems(sale))
    before = sale.care_terms.first()
    if before and (before.care, before.reminds) == (terms, reminds):
        raise Blocked([Blocker("Nothing has changed.")])
    return _write(sale, terms, reminds, "", by)


@transaction.atomic
def change_reminding(*, sale: Sale, reminds: bool, why: str, by) -> SaleCare:
    """Whether this customer is reminded; what was promised stays word for word."""
    Instrument.objects.select_for_update().get(pk=sale.instrument_id)
    before = sale.care_terms.first()
    if before is None or before.reminds == reminds:
        raise Blocked([Blocker("Nothing has changed.")])
    return _write(sale, before.care, reminds, why, by)


def _write(sale: Sale, terms: CareTerms, reminds: bool, why: str, by) -> SaleCare:
    kept = terms.plain()
    return SaleCare.objects.create(
        sale=sale, terms=kept, sha256=fingerprint(kept), reminds=reminds, why=why, recorded_by=by
    )
