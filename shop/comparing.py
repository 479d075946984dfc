"""Two to four instruments beside one another: the same rows for each, "not measured" where nothing was."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from django.db.models import QuerySet

from instruments.calc.exact import exact, plain
from instruments.drawings.shapes import Drawing
from instruments.drawings.side_by_side import Compass, Weighed, compasses, to_one_scale, touches
from instruments.models import Instrument, Recording, Weighing
from instruments.states import Kind, Whose
from instruments.templatetags.drawings import subject_of
from instruments.touch import curve_of, verdict_of
from shop.drafts import drafted
from shop.listening import public_recordings
from shop.measured import Measured, not_known_of, public_measures
from shop.models import Listing
from shop.ownership import without_customers_own
from shop.private_names import private_names
from shop.showing import public_facts, shown_as_it_stands, stated_limits
from shop.stock import state_words, stock_with_state
from workorders.currency import price_in_words

LEAST, MOST = 2, 4
MOST_OFFERED = 120
SIZES = {"Height": "height_cm", "Length": "length_cm", "Width": "width_cm", "Depth": "depth_cm"}
MOST_DONE = 12
IDENTITY = ("Made", "Serial", "Compass", "Construction", "Case", "Key tops")
UNMEASURED = ("Touch", "Wrest pins", "Pitch")


@dataclass(frozen=True)
class Cell:
    """What one instrument has to say to a row. Without lines it says why there are none."""

    lines: tuple[str, ...] = ()
    basis: str = ""
    missing: str = "Not recorded"


@dataclass(frozen=True)
class Row:
    title: str
    pairs: tuple[tuple["Piano", Cell], ...]


@dataclass(frozen=True)
class Story:
    """Public words: the shop's own of what stands in the window, else those the record alone would say."""

    headline: str
    faults: list[str]
    not_done: list[str]
    done: list[str]


@dataclass(frozen=True)
class Piano:
    instrument: Instrument
    listing: Listing | None
    story: Story
    measures: list[Measured]
    recordings: list[Recording] = field(default_factory=list)
    weighing: Weighing | None = None
    drawing: Drawing | None = None
    touch: Drawing | None = None

    @property
    def name(self) -> str:
        return f"{self.instrument.maker_name}, {self.instrument.stock_number}"

    @property
    def url(self) -> str:
        return (self.listing or self.instrument).get_absolute_url()


@dataclass(frozen=True)
class Comparison:
    pianos: list[Piano]
    compasses: Drawing
    rows: list[Row]
    ours: Row | None  # for those who work here


def comparable(user) -> QuerySet[Instrument]:
    """The stock for those who work here; for a stranger what stands in the window."""
    stock = stock_with_state().select_related("listing", "tone").prefetch_related("asking_prices", "photos")
    if user.is_authenticated:
        return without_customers_own(stock).filter(is_sold=False).order_by("-stock_number")
    return stock.filter(is_in_window=True).order_by("-stock_number")


def compare(instruments: list[Instrument], user) -> Comparison:
    """The public words of each, in a number of queries that only the number of instruments bounds."""
    drawings = to_one_scale([subject_of(each) for each in instruments])
    pianos = _with_touch([_piano(*each) for each in zip(instruments, drawings, strict=True)])
    return Comparison(
        pianos=pianos,
        compasses=compasses(
            [Compass(each.name, each.instrument.first_key, each.instrument.key_count) for each in pianos]
        ),
        rows=_rows(pianos),
        ours=_row("Here in the shop", pianos, map(_ours, pianos)) if user.is_authenticated else None,
    )


def _piano(instrument: Instrument, drawing: Drawing) -> Piano:
    listing = instrument.listing if instrument.is_in_window else None
    return Piano(
        instrument=instrument,
        listing=listing,
        story=_listed_story(listing) if listing else _recorded_story(instrument),
        measures=public_measures(instrument),
        recordings=public_recordings(instrument),
        weighing=instrument.weighings.closed().with_readings().first(),
        drawing=drawing,
    )


def _listed_story(listing: Listing) -> Story:
    told = shown_as_it_stands(listing)
    return Story(told.headline, [*told.faults, *told.limits], told.not_done, told.work_done)


def _recorded_story(instrument: Instrument) -> Story:
    told = drafted(instrument)
    limits = stated_limits(instrument, private_names(instrument))
    faults = [*(each.text for each in told.faults), *limits]
    return Story(
        told.headline, faults, [each.text for each in told.not_done], [each.text for each in told.work_done]
    )


def _with_touch(pianos: list[Piano]) -> list[Piano]:
    weighed = {
        each.instrument.pk: Weighed(
            each.name,
            each.instrument.first_key,
            each.instrument.key_count,
            verdict_of(each.weighing, each.instrument).keys,
            curve_of(each.instrument),
        )
        for each in pianos
        if each.weighing
    }
    drawn = dict(zip(weighed, touches(list(weighed.values())), strict=True))
    return [replace(each, touch=drawn.get(each.instrument.pk)) for each in pianos]


def _row(title: str, pianos: list[Piano], cells: Iterable[Cell]) -> Row:
    return Row(title, tuple(zip(pianos, cells, strict=True)))


def _rows(pianos: list[Piano]) -> list[Row]:
    facts = [{fact.label: fact for fact in public_facts(each.instrument)} for each in pianos]
    measured = [{each.title: each for each in piano.measures} for piano in pianos]

    def of_facts(labels: Iterable[str], missing: str) -> list[Row]:
        return [
            _row(label, pianos, [_fact_cell(fact.get(label), missing) for fact in facts]) for label in labels
        ]

    return [
        _row("Price", pianos, map(_price, pianos)),
        *_size_rows(pianos),
        *of_facts(["Weight"], "Not weighed or estimated"),
        *of_facts(IDENTITY, "Not recorded"),
        *(
            _row(title, pianos, [_measured_cell(each.get(title)) for each in measured])
            for title in UNMEASURED
        ),
        _row("To our ear", pianos, [_tone(each.instrument) for each in pianos]),
        _row("Air beside it", pianos, [_air(each.instrument) for each in pianos]),
        _row("Faults", pianos, map(_faults, pianos)),
        *_told_rows(pianos),
    ]


def _told_rows(pianos: list[Piano]) -> list[Row]:
    told = (
        ("Not done, not examined", "Nothing is noted", [each.story.not_done for each in pianos]),
        ("What was done", "Nothing yet; it is offered as it stands", [_done(each) for each in pianos]),
        (
            "What is not known",
            "Nothing that we can name",
            [not_known_of(each.instrument, each.measures) for each in pianos],
        ),
    )
    return [
        _row(title, pianos, [Cell(tuple(said), missing=missing) for said in lines])
        for title, missing, lines in told
    ]


def _size_rows(pianos: list[Piano]) -> list[Row]:
    """Every size that any of these kinds has; an upright has no length to measure."""
    all_upright = all(each.instrument.kind == Kind.UPRIGHT for each in pianos)
    asked = [label for label in SIZES if label != "Length" or not all_upright]
    return [_row(label, pianos, [_size_cell(each.instrument, label) for each in pianos]) for label in asked]


def _size_cell(instrument: Instrument, label: str) -> Cell:
    if size := getattr(instrument, SIZES[label]):
        return Cell((f"{plain(exact(size))} cm",), "measured")
    is_no_size = label == "Length" and instrument.kind == Kind.UPRIGHT
    return Cell(missing="An upright: see its depth" if is_no_size else "Not measured")


def _done(piano: Piano) -> list[str]:
    done = piano.story.done
    more = len(done) - MOST_DONE
    return done if more <= 1 else [*done[:MOST_DONE], f"and {more} more, told on its own page"]


def _fact_cell(fact, missing: str) -> Cell:
    return Cell((fact.value,), fact.basis) if fact else Cell(missing=missing)


def _measured_cell(measured: Measured | None) -> Cell:
    return Cell((measured.sentence,), measured.basis) if measured else Cell(missing="Not measured")


def _price(piano: Piano) -> Cell:
    prices = list(piano.instrument.asking_prices.all()[:1])
    return Cell((price_in_words(prices[0].amount_minor),)) if prices else Cell(missing="No price yet")


def _faults(piano: Piano) -> Cell:
    if piano.instrument.findings.public().exists():
        return Cell(tuple(piano.story.faults), missing="None was found in what we examined")
    return Cell(tuple(piano.story.faults), missing="Its condition has not been examined")


def _air(instrument: Instrument) -> Cell:
    """Of our own rooms only: where somebody lives is nobody's business."""
    reading = instrument.climate_readings.filter(whose=Whose.OURS).first()
    if reading is None:
        return Cell(missing="Not measured")
    return Cell((reading.air_words,), f"in our rooms, {reading.read_on:%-d %B %Y}")


def _tone(instrument: Instrument) -> Cell:
    tone = getattr(instrument, "tone", None)
    if tone is None or not tone.words:
        return Cell(missing="Nobody has said")
    said = str(tone)
    return Cell((f"{said[:1].upper()}{said[1:]}",), f"a judgement of {tone.heard_on:%-d %B %Y}")


def _ours(piano: Piano) -> Cell:
    instrument = piano.instrument
    where = instrument.get_place_display() + (f", {instrument.place_note}" if instrument.place_note else "")
    open_work = "Work is open" if instrument.has_open_work else "No work is open"
    return Cell(tuple(filter(None, [where, state_words(instrument) or "Not in the window", open_work])))
