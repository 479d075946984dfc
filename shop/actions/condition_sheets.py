"""From condition reports to the sheet that two people sign."""

from collections.abc import Iterable
from datetime import date

from instruments.calc.condition.comparing import BETTER, OTHERWISE, WORSE
from instruments.calc.exact import plain
from instruments.documents.content import Fact, Photo
from instruments.models import ConditionReport, Finding
from instruments.pictures import reduced_jpeg
from instruments.states import Occasion, Part
from instruments.walks import PairedPart, Walk, paired, walk_of
from shop.actions.papers import paper_facts, shop_party
from shop.documents.condition_sheet import (
    Cell,
    ConditionSheet,
    PartRow,
    Signer,
    Walked,
    build_condition_sheet,
)
from shop.models import ShopProfile

MOST_PHOTOS = 8
LONGEST_SIDE_PX = 800  # at most 56 mm wide on the paper: over 300 to the inch
IDENTITY = {"Serial", "Made", "Compass", "Height", "Length", "Case", "Key tops"}
CHANGES = {WORSE: "Worse", BETTER: "Better", OTHERWISE: "Differs"}
OTHER_SIDE = {
    Occasion.AS_OFFERED: "The seller",
    Occasion.AS_BOUGHT: "The seller",
    Occasion.OUT_ON_TRIAL: "The customer",
    Occasion.BACK_FROM_TRIAL: "The customer",
    Occasion.AS_SOLD: "The buyer",
    Occasion.BACK_FROM_BUYER: "The buyer",
}
NOT_LOOKED_AT = Cell("Not looked at")


def condition_sheet_of(report: ConditionReport, *, on: date, other_side: str = "") -> bytes:
    """One report. `other_side` is the name of whoever signs beside the shop, where it may be printed."""
    walk = walk_of(report)
    rows = tuple(PartRow(part.label, (_cell(walk.lines.get(part)),)) for part in Part)
    pictures = [finding for finding in _faults_first(walk) if finding.photo]
    return _built((walk,), rows, pictures, on=on, other_side=other_side)


def condition_pair_of(
    first: ConditionReport, second: ConditionReport, *, on: date, other_side: str = ""
) -> bytes:
    """Two reports side by side, the changed parts first, their photographs in pairs."""
    walks = walk_of(first), walk_of(second)
    parts = paired(*walks)
    rows = tuple(
        PartRow(each.part.label, (_cell(each.before), _later_cell(each)), _difference(each)) for each in parts
    )
    pictures = [
        finding
        for both in (True, False)
        for each in parts
        if bool(_photo(each.before) and _photo(each.after)) == both
        for finding in (each.before, each.after)
        if _photo(finding)
    ]
    return _built(walks, rows, pictures, on=on, other_side=other_side)


def _built(walks: tuple[Walk, ...], rows, pictures: list[Finding], *, on: date, other_side: str) -> bytes:
    report, profile = walks[-1].report, ShopProfile.current()
    instrument = report.instrument
    sheet = ConditionSheet(
        shop=shop_party(profile),
        stock_number=instrument.stock_number,
        maker=instrument.maker_name,
        sentence=instrument.sentence,
        printed_on=on,
        facts=(
            Fact("Maker", instrument.maker_name),
            *(fact for fact in paper_facts(instrument) if fact.label in IDENTITY),
        ),
        walks=tuple(_walked(walk) for walk in walks),
        rows=rows,
        signers=(
            Signer("For the shop", profile.name),
            Signer(OTHER_SIDE.get(report.occasion, "A second pair of eyes"), other_side),
        ),
        photos=tuple(_pictured(finding) for finding in pictures[:MOST_PHOTOS]),
        photos_left_out=max(0, len(pictures) - MOST_PHOTOS),
    )
    return build_condition_sheet(sheet)


def _walked(walk: Walk) -> Walked:
    report = walk.report
    names = dict.fromkeys(_name(finding.found_by) for finding in walk.findings)
    air = [
        f"{plain(report.temperature_c)} °C" if report.temperature_c is not None else "",
        f"{plain(report.humidity_percent)} % RH" if report.humidity_percent is not None else "",
    ]
    return Walked(
        occasion=report.get_occasion_display(),
        looked_on=report.looked_on,
        climate=", ".join(filter(None, air)),
        by=" and ".join(names) or _name(report.begun_by),
        note=report.note,
        is_open=report.is_open,
    )


def _cell(finding: Finding | None) -> Cell:
    if finding is None:
        return NOT_LOOKED_AT
    keys = f"keys {finding.keys}" if finding.keys else ""
    note = "; ".join(filter(None, [finding.note.rstrip("."), finding.value_words, keys]))
    return Cell(finding.get_condition_display(), note)


def _later_cell(each: PairedPart) -> Cell:
    cell = _cell(each.after)
    left_out = [f"{value.name} not measured this time" for value in each.pair.left_out]
    return Cell(cell.grade, "; ".join(filter(None, [cell.note, *left_out])))


def _difference(each: PairedPart) -> str:
    """In a word, and what was measured otherwise: by how much where both are figures."""
    measured = [
        f"{value.name} {value.difference or 'differs'}" for value in each.pair.values if value.is_changed
    ]
    return "; ".join(filter(None, [CHANGES.get(each.pair.change, ""), *measured]))


def _photo(finding: Finding | None):
    return finding.photo if finding else None


def _faults_first(walk: Walk) -> Iterable[Finding]:
    return sorted(walk.findings, key=lambda finding: not finding.is_fault)


def _pictured(finding: Finding) -> Photo:
    words = f"{finding.get_part_display()}, {finding.found_on:%-d %B %Y}"
    try:
        with finding.photo.print.open("rb") as kept:
            jpeg = reduced_jpeg(kept.read(), side=LONGEST_SIDE_PX)
    except OSError:  # gone from the disk, or no picture any more: the paper says so in its place
        jpeg = b""
    return Photo(jpeg=jpeg, caption=words, alt=f"{words}. {finding.note}".strip())


def _name(user) -> str:
    return user.get_full_name() or user.get_username()
