"""The lead plan for the bench: one line a key, with a box to tick and room for the new reading."""

from datetime import date

from reportlab.platypus.flowables import Flowable

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.touchweight import KeyPlan, KeyVerdict, PlacedLead
from instruments.documents import styles
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, TickBox, WritingLine, bulleted, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tables import Cell, plain_table
from instruments.documents.text import p
from instruments.leading import LeadPlan

CAUTION = (
    "Lead is a poison. Gloves on, no food or drink at the bench, no dry filing or sanding; wipe up and wash"
    " afterwards, and keep swarf in a closed box. Follow the rules in force where you work."
)
HEADINGS = ("Done", "Key", "Take out", "Put in", "Now", "Then", "Weighed")
SHARES = (0.07, 0.08, 0.21, 0.26, 0.11, 0.11, 0.16)


def lead_plan_sheet(plan: LeadPlan, instrument, *, on: date) -> bytes:
    """A PDF of one page or more; the same plan on the same day gives the same bytes."""
    imprint = Imprint(
        title=f"Lead plan for {instrument.stock_number}",
        subject=plan.sentence,
        shop_name="",
        number=f"Stock {instrument.stock_number}",
        dated=on,
        content_hash=in_fours(content_hash((instrument.stock_number, plan.keys, plan.waiting))),
        running_head=f"Lead plan for {instrument.stock_number}, continued",
    )
    return print_sheet(_pieces(plan, instrument), imprint)


def _pieces(plan: LeadPlan, instrument) -> list[Flowable]:
    weighing, lever = plan.weighing, plan.lever
    how = (
        f"From the weigh-off of {weighing.weighed_on:%-d %B %Y}. Weight set"
        f" {plain(lever.natural_front_mm)} mm from the balance rail on naturals,"
        f" {plain(lever.sharp_front_mm)} mm on sharps. Distances are from the balance rail to the middle of"
        f" the lead. At least {plain(lever.least_up_g)} g up."
    )
    pieces = [
        *p(f"Lead plan, {instrument.maker_name} {instrument.stock_number}", styles.TITLE, kind="H1"),
        *p(plan.sentence, styles.SENTENCE),
        *p(how, styles.BASIS),
        Rule(),
        *p(CAUTION, styles.CAUTION),
    ]
    if plan.treated:
        rows = [_row(key, now) for key, now in plan.lines]
        pieces += [*heading("By lead"), *plain_table(HEADINGS, rows, [WIDTH * share for share in SHARES])]
    if plan.not_treated:
        told = [p(key.sentence, styles.DATA) for key in plan.not_treated]
        pieces += [*heading("Not by lead, or not yet"), *bulleted(told, width=WIDTH)]
    return pieces


def _row(key: KeyPlan, now: KeyVerdict) -> list[Cell]:
    return [
        [TickBox()],
        note_label(key.key),
        _words(key.take_out),
        _words(key.put_in),
        f"{plain(now.down_g)} / {plain(now.up_g)}",
        f"{round(key.down_after_g, 1)} / {round(key.up_after_g, 1)}",
        [WritingLine()],
    ]


def _words(leads: tuple[PlacedLead, ...]) -> str:
    return "; ".join(f"{lead.size.name} at {plain(lead.distance_mm)} mm" for lead in leads)
