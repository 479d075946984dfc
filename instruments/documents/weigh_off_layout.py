"""A weigh-off on paper: the charts, what is out and why, every reading, what was there before."""

from datetime import date

from reportlab.platypus.flowables import Flowable

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.documents import styles
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, bulleted, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tables import plain_table
from instruments.documents.text import p
from instruments.drawings.friction_chart import friction_drawing
from instruments.drawings.touch_chart import touch_drawing
from instruments.touch import curve_of
from instruments.weigh_reports import Line, WeighReport

HEADINGS = ("Key", "Down", "Up", "Target", "Off by", "Friction", "Balance", "Before", "Verdict")
SHARES = (0.09, 0.09, 0.09, 0.1, 0.1, 0.11, 0.11, 0.14, 0.17)
VERDICTS = {
    "": "inside",
    "friction": "out: friction",
    "weight": "out: weight",
    "light": "out: too light",
    "stuck": "does not return",
    "unknown": "out: no up-weight",
}


def weigh_off_sheet(report: WeighReport, *, on: date) -> bytes:
    """A PDF of a few pages; the same weigh-off on the same day gives the same bytes."""
    title = f"Weigh-off of {report.instrument.stock_number}, {day_in_words(report.weighing.weighed_on)}"
    before = report.touch_before.keys if report.touch_before else ()
    imprint = Imprint(
        title=title,
        subject=report.touch.summary.sentence,
        shop_name="",
        number=f"stock {report.instrument.stock_number}",
        dated=on,
        content_hash=in_fours(content_hash((report.instrument.stock_number, report.touch.keys, before))),
        running_head=f"{title}, continued",
    )
    return print_sheet([*_head(report), *_charts(report), *_asks(report), *_readings(report)], imprint)


def _head(report: WeighReport) -> list[Flowable]:
    weighing, instrument = report.weighing, report.instrument
    curve = curve_of(instrument)
    how = (
        f"{weighing.get_stage_display()}, weighed {day_in_words(weighing.weighed_on)} by"
        f" {weighing.weighed_by.get_full_name() or weighing.weighed_by}. Target {plain(curve.bass_g)} g bass,"
        f" {plain(curve.middle_g)} g middle, {plain(curve.treble_g)} g top,"
        f" within {plain(curve.tolerance_g)} g."
    )
    if weighing.is_open:
        how += " Still open: more readings may follow."
    said = [p(how, styles.BASIS)]
    if report.comparison:
        earlier = (
            f"Before: {report.before.get_stage_display().lower()}, {day_in_words(report.before.weighed_on)}."
        )
        said.append(p(f"{earlier} {report.comparison.sentence}", styles.BASIS))
    return [
        *p(f"Weigh-off, {instrument.maker_name} {instrument.stock_number}", styles.TITLE, kind="H1"),
        *p(f"{report.touch.summary.sentence} {report.touch.summary.do_first}", styles.SENTENCE),
        *(piece for pieces in said for piece in pieces),
        Rule(),
    ]


def _charts(report: WeighReport) -> list[Flowable]:
    own = report.instrument.first_key, report.instrument.key_count
    before = report.touch_before.keys if report.touch_before else ()
    drawings = (
        touch_drawing(*own, report.touch.keys, curve=curve_of(report.instrument), before=before),
        friction_drawing(*own, report.touch.keys),
    )
    return [DrawingFigure(drawing, WIDTH, f"{drawing.name}. {drawing.description}") for drawing in drawings]


def _asks(report: WeighReport) -> list[Flowable]:
    told = [p(f"{asked.words}: {keys}. {asked.do}", styles.DATA) for asked, keys in report.asks]
    return [*heading("In this order"), *bulleted(told, width=WIDTH)] if told else []


def _readings(report: WeighReport) -> list[Flowable]:
    rows = [_row(line) for line in report.lines]
    widths = [WIDTH * share for share in SHARES]
    return [*heading("Every reading, in grams"), *plain_table(HEADINGS, rows, widths)] if rows else []


def _row(line: Line) -> list[str]:
    key, before = line.now, line.before
    earlier = f"{plain(before.down_g)} / {_up(before.up_g)}" if before else ""
    return [
        note_label(key.key),
        plain(key.down_g),
        _up(key.up_g),
        plain(round(key.target_g, 1)),
        f"{round(key.deviation_g, 1):+}",
        "" if key.friction_g is None else plain(key.friction_g),
        "" if key.balance_g is None else plain(key.balance_g),
        earlier,
        VERDICTS[key.cause],
    ]


def _up(grams) -> str:
    return "not taken" if grams is None else plain(grams) if grams else "no return"
