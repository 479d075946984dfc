"""Drawings for pages. The only place where markup built by `instruments.drawings` is declared safe."""

from collections.abc import Iterable

from django import template
from django.utils.safestring import SafeString, mark_safe

from instruments.drawings.beside_a_person import beside_a_person, size_sentence
from instruments.drawings.day_bars import NARROW_DAYS, WIDE_DAYS, DayChart, day_bars
from instruments.drawings.friction_chart import friction_drawing
from instruments.drawings.instrument_picture import Subject, instrument_drawing, subject_of
from instruments.drawings.keyboard import NARROW, WIDE, keyboard_drawing
from instruments.drawings.life_line import life_line, upright_life_line
from instruments.drawings.shapes import Drawing
from instruments.drawings.sound_charts import course_drawing, decay_drawing, partials_drawing
from instruments.drawings.svg import to_svg
from instruments.drawings.touch_chart import touch_drawing
from instruments.models.recording import CURVE_STEP_S
from instruments.survey_charts import break_drawing, pin_drawing, pitch_drawing
from instruments.touch import curve_of, verdict_of

register = template.Library()


def safe_svg(drawing: Drawing) -> SafeString:
    return mark_safe(to_svg(drawing))  # noqa: S308  to_svg escapes every word and attribute


def _both_cuts(drawings: Iterable[Drawing]) -> SafeString:
    """A page shows one of them by its width and hides the other (`lists.css`)."""
    return mark_safe("".join(to_svg(drawing) for drawing in drawings))  # noqa: S308  as in `safe_svg`


@register.simple_tag
def keyboard(instrument, marked=None) -> SafeString:
    """The instrument's own compass, once wide and once for a phone; `marked` maps keys to why they are."""
    own = instrument.first_key, instrument.key_count
    return _both_cuts(keyboard_drawing(*own, marked=marked, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag
def key_strip(strip) -> SafeString:
    """A `KeyStrip`: the keyboard with a sign for each open mark, and what the signs stand for."""
    return safe_svg(strip.drawing())


@register.simple_tag(name="instrument_drawing")
def instrument_drawing_tag(instrument, view="front") -> SafeString:
    """Of an instrument, or of what is already known to be its `Subject`."""
    subject = instrument if isinstance(instrument, Subject) else subject_of(instrument)
    return safe_svg(instrument_drawing(subject, view=view))


@register.simple_tag
def size_drawing(instrument) -> SafeString:
    """The instrument to one scale with a person and a doorway; the same figures are in its words."""
    return safe_svg(beside_a_person(subject_of(instrument)))


@register.simple_tag
def size_words(instrument) -> str:
    return size_sentence(subject_of(instrument))


@register.simple_tag
def touch_chart(weighing, touch=None, before=None) -> SafeString:
    """A weigh-off against its instrument's own curve, once wide and once for a phone.

    `touch` is its verdict, if that is at hand; `before` the verdict of an earlier one, drawn behind it.
    """
    instrument = weighing.instrument
    weighed = (touch or verdict_of(weighing, instrument)).keys
    drawn = {"weighed": weighed, "curve": curve_of(instrument), "before": before.keys if before else ()}
    own = instrument.first_key, instrument.key_count
    return _both_cuts(touch_drawing(*own, **drawn, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag
def friction_chart(instrument, touch) -> SafeString:
    """Friction and balance weight of a judged weigh-off, once wide and once for a phone."""
    own = instrument.first_key, instrument.key_count
    return _both_cuts(friction_drawing(*own, touch.keys, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag
def pin_chart(report) -> SafeString:
    """A survey of pins over the keys they belong to."""
    return _both_cuts(pin_drawing(report, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag
def pitch_chart(report) -> SafeString:
    """Deviations of pitch over the keys."""
    return _both_cuts(pitch_drawing(report, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag(name="day_bars")
def day_bars_tag(chart: DayChart) -> SafeString:
    """Bars over days, once wide and once for a phone."""
    return _both_cuts(day_bars(chart, cut) for cut in (WIDE_DAYS, NARROW_DAYS))


@register.simple_tag(name="life_line")
def life_line_tag(entries, today, subject="the instrument", upright=False) -> SafeString:
    """Lying down for a page, `upright` for a phone: a page shows one of them and hides the other."""
    drawn = upright_life_line if upright else life_line
    return safe_svg(drawn(list(entries), today=today, subject=subject))


@register.simple_tag
def break_chart(instrument, across) -> SafeString:
    """A `BreakReport` over the keys."""
    return _both_cuts(break_drawing(instrument, across, cut=cut) for cut in (WIDE, NARROW))


@register.simple_tag
def course_chart(recording) -> SafeString:
    """How loud a recording is from beginning to end."""
    return safe_svg(course_drawing(recording.waveform, recording.length_words))


@register.simple_tag
def partials_chart(report) -> SafeString:
    """The partials of a `NoteReport`."""
    return safe_svg(partials_drawing(report.note.partials, report.name))


@register.simple_tag
def decay_chart(report) -> SafeString:
    """How the note of a `NoteReport` dies away, with what was fitted to it."""
    return safe_svg(decay_drawing(report.note.curve, CURVE_STEP_S, report.name, report.falls))


@register.simple_tag
def drawn(drawing: Drawing) -> SafeString:
    """A drawing that the view has made."""
    return safe_svg(drawing)
