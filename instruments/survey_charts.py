"""Surveys as pictures over the keys."""

from instruments.calc.compass import is_in_section, note_label
from instruments.calc.exact import plain
from instruments.calc.survey_lines import pin_name
from instruments.drawings.keyboard import WIDE, Cut
from instruments.drawings.shapes import Drawing
from instruments.drawings.survey_chart import Chart, Level, Point, survey_drawing
from instruments.pin_report import PinReport
from instruments.pitch_report import PitchReport
from instruments.sound_report import BreakReport


def pin_drawing(report: PinReport, *, cut: Cut = WIDE) -> Drawing:
    points = [
        Point(
            row.key,
            float(row.torque_nm),
            f"{pin_name(row.key, row.string)}: {plain(round(row.torque_nm, 1))} N·m, {row.band.name}",
            sign=row.string - 1,
            stands_out=row.is_low,
        )
        for row in report.rows
    ]
    chart = Chart(
        unit="N·m",
        name=f"Turning force of {len(points)} pins",
        description=report.sentence,
        points=points,
        levels=[Level(float(line.torque_nm), str(line)) for line in report.lines],
        legend=("string 1", "string 2", "string 3"),
        stands_out="published as failing",
        least=(0, 12),
    )
    return survey_drawing(report.first_key, report.key_count, chart, cut=cut)


def pitch_drawing(report: PitchReport, *, cut: Cut = WIDE) -> Drawing:
    points = [Point(row.key, row.cents, f"{row.name}: {row.words}") for row in report.rows]
    levels = []
    for mean in report.sections:
        keys = [row.key for row in report.rows if is_in_section(row.key, mean.section)]
        if len(keys) > 1:
            words = f"{mean.section} {mean.cents:+.0f}".replace("-", "−")
            levels.append(Level(mean.cents, words, keys[0], keys[-1]))
    chart = Chart(
        unit="cents",
        name=f"Pitch of {len(points)} notes against A4 at {plain(report.survey.a4_hz)} Hz",
        description=f"{report.sentence} {_ends(report)}",
        points=points,
        levels=levels,
        legend=("a note",),
        least=(-10, 10),
    )
    return survey_drawing(report.instrument.first_key, report.instrument.key_count, chart, cut=cut)


def break_drawing(instrument, across: BreakReport, *, cut: Cut = WIDE) -> Drawing:
    """Level of the notes recorded alike, under the loudest; ringed beside a break that stands out."""
    loudest = max((note.level_db for note in across.notes.values()), default=0)
    at_breaks = {key for judged in across.judged if judged.stands_out for key in judged.keys}
    points = [
        Point(
            key,
            float(note.level_db - loudest),
            f"{note_label(key)}: {note.level_db - loudest:.1f} dB".replace("-", "−"),
            stands_out=key in at_breaks,
        )
        for key, note in across.notes.items()
    ]
    chart = Chart(
        unit="dB",
        name=f"Level of {len(points)} notes",
        description=" ".join(judged.sentence for judged in across.judged),
        points=points,
        legend=("a note, in dB under the loudest",),
        stands_out="beside a break that stands out" if at_breaks else "",
        least=(-12, 0),
    )
    return survey_drawing(instrument.first_key, instrument.key_count, chart, cut=cut)


def _ends(report: PitchReport) -> str:
    if not report.rows:
        return ""
    first, last = report.rows[0], report.rows[-1]
    return f"From {note_label(first.key)}, {first.words}, to {note_label(last.key)}, {last.words}."
