"""Varied instruments for the listing writer, from a seed, with words planted that no buyer may read."""

import random
from dataclasses import dataclass, field
from decimal import Decimal

from instruments.actions.findings import record_finding
from instruments.models import Instrument
from shop.actions.clearances import record_clearance
from tests import make
from workorders.actions.items import close_item, leave_item

MAKERS = ("Halden & Rook", "Wexcombe", "Pell & Daughters", "Ostrand Brothers", "unknown")
TEXTS = (
    "It stood in a schoolroom",
    "restrung in the fifties",
    "The hammers were made new by a man in town",
    "It came up the river on a barge",
    "I had it tuned every spring",
    "Nobody played it for years. The lid was kept shut.",
)
JOBS = ("Lubricate the action", "Ease the keys", "Shape the hammers", "Tune", "Re-centre the flanges")
RESULTS = ("all notes return", "every key falls by itself", "done by hand.", "A4 settled")
NOTES = ("sun-faded lid", "a crack beside the lock", "", "two notes buzz softly")


@dataclass
class Planted:
    """Words each found in one record alone: `hidden` ones may never be read, `standing` ones may."""

    hidden: list[str] = field(default_factory=list)
    standing: list[str] = field(default_factory=list)


def make_varied(seed: int, by) -> tuple[Instrument, Planted]:
    chance, planted = random.Random(seed), Planted()
    instrument = make.make_instrument(by=by, **_identity(chance))
    seller = make.make_person(name=f"Canaryseller{seed} Crake")
    planted.hidden.append(seller.name.split()[0])
    make.make_purchase(instrument=instrument, seller=seller, by=by)
    make.make_price(instrument=instrument, amount_minor=chance.randrange(400, 4_000) * 100, by=by)
    for number in range(chance.randrange(2, 6)):
        _said(instrument, chance, f"{seed}x{number}", planted, seller, by)
    _found(instrument, chance, seed, planted, seller, by)
    _worked(instrument, chance, by)
    if seed % 25 == 0:  # ninety readings each: two are enough
        make.make_weighing(instrument=instrument, by=by, down_g=chance.choice((48, 50, 57)))
    if chance.random() < 0.3:
        record_clearance(instrument=instrument, by=by, found="key tops", how="by lamp", reference="QX-17")
    return instrument, planted


def _identity(chance: random.Random) -> dict:
    kind = chance.choice(("upright", "upright", "grand", "square"))
    size = (
        {"height_cm": Decimal(122)}
        if kind == "upright"
        else {"length_cm": Decimal(chance.randrange(140, 260))}
    )
    dated = chance.choice(
        [
            {},
            {"made": "1912~", "made_basis": "serial"},
            {"made": "1908", "made_basis": "mark"},
            {"made": "191X", "made_basis": "style"},
            {"made": "1931?", "made_basis": "told"},
            {"made": "1921/1924", "made_basis": "document"},
        ]
    )
    return (
        {
            "kind": kind,
            "maker": chance.choice(MAKERS),
            "serial": chance.choice(("", "31447", "B 2041")),
            "serial_read_at": chance.choice(("", "on the frame")),
            "name_on_fall": chance.choice(("", "Pell, Orrinbridge")),
            "width_cm": chance.choice((None, Decimal(151))),
            "weight_kg": chance.choice((None, 230)),
            "stringing": chance.choice(("", "overstrung", "straight")),
            "damping": chance.choice(("", "under", "over")),
            "pedals": chance.choice((2, 3)),
            "case_finish": chance.choice(("", "french polished, sunned")),
            "natural_covering": chance.choice(("ivory", "celluloid", "plastic", "unknown")),
            "key_count": chance.choice((85, 88)),
        }
        | (size if chance.random() < 0.8 else {})
        | dated
    )


def _said(instrument, chance: random.Random, mark: str, planted: Planted, seller, by) -> None:
    fate = chance.choice(
        ("told", "told", "open", "contradicted", "private", "names", "seen", "document", "mark")
    )
    hidden = fate in {"contradicted", "private", "names"}
    canary = f"canary{'hidden' if hidden else 'stands'}{mark}"
    (planted.hidden if hidden else planted.standing).append(canary)
    text = f"{chance.choice(TEXTS)} {canary}" + (f", says {seller.name}" if fate == "names" else "")
    grade = fate if fate in {"seen", "document", "mark"} else "told"
    statement = make.make_statement(
        instrument=instrument,
        by=by,
        text=text,
        topic=chance.choice(("owned", "strings", "general")),
        grade=grade,
        told_by=seller.name if grade == "told" else "",
        teller=chance.choice(("", "last_owner", "tuner")) if grade == "told" else "",
        in_their_words=chance.random() < 0.3,
        source_note=chance.choice(("", "a card under the lid")),
        is_public=fate != "private",
    )
    if fate in {"open", "contradicted"}:
        strength = "weak" if fate == "open" else "strong"
        make.make_evidence(statement=statement, side="against", strength=strength, by=by)


def _found(instrument, chance: random.Random, seed: int, planted: Planted, seller, by) -> None:
    for part in chance.sample(("case", "keys", "hammers", "bridges", "pedals"), chance.randrange(0, 5)):
        note, is_public = chance.choice(NOTES), True
        if chance.random() < 0.3:
            note = f"canaryfinding{seed}{part}"
            is_public = chance.random() < 0.5
            note = note if not is_public else f"{note}, says {seller.name}"
            planted.hidden.append(f"canaryfinding{seed}{part}")
        record_finding(
            instrument=instrument,
            part=part,
            condition=chance.choice(("sound", "attend", "repair", "not_examined")),
            note=note,
            is_public=is_public,
            by=by,
            on=make.A_DAY,
        )


def _worked(instrument, chance: random.Random, by) -> None:
    jobs = chance.sample(JOBS, chance.randrange(0, 4))
    if not jobs:
        return
    order = make.make_order(instrument=instrument, by=by)
    for job in jobs:
        item = make.make_item(order=order, name=job, is_required=False)
        if chance.random() < 0.7:
            close_item(item=item, by=by, on=make.A_DAY, result=chance.choice(RESULTS))
        else:
            leave_item(item=item, by=by, on=make.A_DAY, reason="sound enough as it is")
