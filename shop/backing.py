"""What on file stands behind the loaded words of a listing, and what is missing behind the others."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from instruments.calc import edtf
from instruments.calc.evidence import SUPPORTED
from instruments.calc.exact import exact, plain
from instruments.calc.wording import PART_NAMES, LoadedWord, part_backing
from instruments.calc.wording.loaded import WORK_LIST
from instruments.models import Instrument
from instruments.standings import Weighed, standings_by_tell_tales, weighed_statements
from instruments.states import Asserts, Condition, Covering, Grade, Kind, MadeBasis, Part, Topic
from shop.models import Listing
from shop.protected import standing_reference
from workorders.models import WorkItem
from workorders.summary import work_done_on

DATED_BY_EVIDENCE = {MadeBasis.SERIAL, MadeBasis.MARK, MadeBasis.DOCUMENT}
WEARING_PARTS = (Part.HAMMERS, Part.KEY_TOPS, Part.CENTRES)
NEAR_CENTS = 5
CONCERT_LENGTH_CM = 260  # about nine feet; common practice, no source
SOME_WEEKS = timedelta(days=14)
MOST_NAMED = 4
_COUNTS = re.compile(r"\b(?:known|made|built|surviv\w+|exist\w*|left)\b", re.IGNORECASE)
_A_NUMBER = re.compile(
    r"\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|a dozen)\b", re.IGNORECASE
)
_TUNED = re.compile(r"\btun(?:er|ers|ed|ing|ings)\b", re.IGNORECASE)
_VALUED = re.compile(r"\b(?:valuation|valued|apprais\w+)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Backing:
    """`backed` as `loaded_words` takes it; `missing` says of each other backing what is not there."""

    backed: frozenset[str]
    missing: dict[str, str]

    def missing_for(self, word: LoadedWord) -> str:
        if word.parts:
            names = [PART_NAMES[topic] for topic in word.parts]
            listed = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
            are = "is" if word.parts == ("case",) else "are"
            return f"Nothing on file shows that {listed} {are} the first."
        return self.missing.get(word.backing, "")


def backing_of(listing: Listing, *, today: date, weighed: list[Weighed] | None = None) -> Backing:
    weighed = weighed_statements(listing.instrument) if weighed is None else weighed
    file = OnFile(listing, listing.instrument, weighed, today)
    missing = {backing: ask(file) for backing, ask in ASKED.items()}
    backed = {backing for backing, sentence in missing.items() if not sentence}
    backed |= {part_backing(topic) for topic in file.first_parts}
    return Backing(frozenset(backed), {backing: words for backing, words in missing.items() if words})


@dataclass
class OnFile:
    """One instrument's record as these words are held against it; each kind is fetched once."""

    listing: Listing
    instrument: Instrument
    weighed: list[Weighed]
    today: date

    @cached_property
    def supported(self) -> list[Weighed]:
        return [each for each in self.weighed if each.standing.name == SUPPORTED]

    @cached_property
    def findings(self) -> list:
        return list(self.instrument.findings.current().with_values())

    def figures(self, unit: str) -> list:
        """What was measured in that unit with the last word on a part."""
        return [each for row in self.findings for each in row.values.all() if each.unit == unit]

    @cached_property
    def done(self) -> list:
        return work_done_on(self.instrument)

    @cached_property
    def document_titles(self) -> list[tuple[str, str]]:
        return list(self.instrument.documents.values_list("title", "dated")[:200])

    @cached_property
    def pitch_items(self) -> list[WorkItem]:
        """Jobs closed by a pitch inside its limits, the oldest first."""
        items = WorkItem.objects.filter(order__instrument=self.instrument, figure_unit="cents").done()
        return list(items.filter(figure__isnull=False, override_reason="").order_by("closed_at", "id"))

    @cached_property
    def first_parts(self) -> set[str]:
        """Topics of the parts shown to be the first ones, by a statement or by the tell-tales alone."""
        said = {each.claim.part for each in self.supported if each.statement.asserts == Asserts.ORIGINAL}
        by_look = standings_by_tell_tales(self.instrument, asserts=Asserts.ORIGINAL, topics=PART_NAMES)
        return said | {topic for topic, standing in by_look.items() if standing.name == SUPPORTED}


def _work_list(file: OnFile) -> str:
    if any(each.statement.topic == Topic.RESTORED and _on_paper(each) for each in file.supported):
        return ""
    if not file.done:
        return "No work is closed on file, and no paper lists any."
    return "" if file.listing.work_done.strip() else "The work on file is not listed under what was done."


def _condition_report(file: OnFile) -> str:
    looked_at = {each.part for each in file.findings if each.condition != Condition.NOT_EXAMINED}
    unseen = [label.lower() for part, label in Part.choices if part not in looked_at]
    return f"Not examined yet: {_some(unseen)}." if unseen else ""


def _sound_report(file: OnFile) -> str:
    faults = [str(each).lower() for each in file.findings if each.is_fault]
    return f"The condition report finds {_some(faults)}." if faults else _condition_report(file)


def _list_of_faults(file: OnFile) -> str:
    if missing := _condition_report(file):
        return missing
    is_told = file.listing.faults.strip() or not any(each.is_fault for each in file.findings)
    return "" if is_told else "The faults on file are not in the listing."


def _little_worn(file: OnFile) -> str:
    sound = {each.part for each in file.findings if each.condition == Condition.SOUND}
    others = [part.label.lower() for part in WEARING_PARTS if part not in sound]
    return f"No finding says that these are sound: {_some(others)}." if others else ""


def _count_of_those_known(file: OnFile) -> str:
    counts = [
        each
        for each in file.supported
        if each.statement.grade == Grade.DOCUMENT
        and _COUNTS.search(each.statement.text)
        and _A_NUMBER.search(each.statement.text)
    ]
    return "" if counts else "No document on file says how many are known."


def _hundred_years(file: OnFile) -> str:
    """Legal thresholds go by the outer bound, and a date in doubt proves nothing (see CHECKS on EDTF)."""
    instrument = file.instrument
    if not instrument.made:
        return "No date of making is on file."
    latest = edtf.bounds(instrument.made)[1]
    is_shown = instrument.made_basis in DATED_BY_EVIDENCE and not edtf.is_hedged(instrument.made)
    if is_shown and latest and latest < _years_before(file.today, 100):
        return ""
    basis = instrument.made_basis_words or "no basis given"
    return f"The date on file, {instrument.made_words} ({basis}), does not prove it."


def _measured_pitch(file: OnFile) -> str:
    measured = any(each.unit == "Hz" for each in file.findings) or any(map(_is_near, file.pitch_items))
    return "" if measured else "No pitch is on file."


def _concert_pitch(file: OnFile) -> str:
    """A figure in cents counts where the words beside it say which pitch was agreed."""
    in_hertz = [each for each in file.figures("Hz") if 438 < each.number < 442]
    in_cents = [each for each in file.pitch_items if _is_near(each) and re.search(r"\b440\b", each.result)]
    return "" if in_hertz or in_cents else "No pitch measured at A4 = 440 Hz is on file."


def _concert_length(file: OnFile) -> str:
    length = file.instrument.length_cm
    if file.instrument.kind != Kind.GRAND or not length:
        return "No length of a grand is on file."
    return "" if length >= CONCERT_LENGTH_CM else f"It is {plain(exact(length))} cm long."


def _pitch_again(file: OnFile) -> str:
    near = [each.closed_at for each in file.pitch_items if _is_near(each)]
    if near and near[-1] - near[0] >= SOME_WEEKS:
        return ""
    return "No two pitches some weeks apart are on file." if near else "No pitch is on file."


def _pins_and_pitch(file: OnFile) -> str:
    pins = file.figures("N·m")
    missing = [*([] if pins else ["turning force of the pins"]), *([] if file.pitch_items else ["pitch"])]
    return f"Not measured: {' and '.join(missing)}." if missing else ""


def _ownership_papers(file: OnFile) -> str:
    """One owner's papers from the making to the day it came to us."""
    owned = [each for each in file.supported if each.statement.asserts == Asserts.OWNED and _on_paper(each)]
    if not owned:
        return "No paper on file shows who owned it."
    whole = any(_spans_its_life(each, file.instrument) for each in owned)
    return "" if whole else "The papers on file do not reach from its making to the day it came to us."


def _spans_its_life(each: Weighed, instrument: Instrument) -> bool:
    if "/" not in each.statement.dated or not instrument.made:
        return False
    begun, ended = each.statement.earliest, each.statement.latest
    made = edtf.bounds(instrument.made)[1]
    bought = instrument.purchases.values_list("bought_on", flat=True).first()
    from_new = begun is None or made is None or begun.year <= made.year + 1
    return from_new and (ended is None or bought is None or ended.year >= bought.year)


def _tuners_dates(file: OnFile) -> str:
    on_it = [
        each
        for each in file.supported
        if each.statement.grade in {Grade.MARK, Grade.DOCUMENT}
        and _TUNED.search(f"{each.statement.text} {each.statement.source_note}")
    ]
    papers = [title for title, _ in file.document_titles if _TUNED.search(title)]
    return "" if on_it or papers else "No tuner's card, mark or bill is on file."


def _ivory_clearance(file: OnFile) -> str:
    covering = file.instrument.natural_covering
    if covering != Covering.IVORY:
        return f"The naturals are on file as “{file.instrument.get_natural_covering_display().lower()}”."
    return "" if standing_reference(file.instrument) else "No registration that stands is on file."


def _dated_valuation(file: OnFile) -> str:
    valued = [dated for title, dated in file.document_titles if dated and _VALUED.search(title)]
    return "" if valued else "No dated valuation is on file."


def _price_comparison(file: OnFile) -> str:
    return "The record keeps no prices of others: leave it out."


ASKED = {
    WORK_LIST: _work_list,
    "sound report": _sound_report,
    "list of faults": _list_of_faults,
    "little worn": _little_worn,
    "count of those known": _count_of_those_known,
    "proof of 100 years": _hundred_years,
    "measured pitch": _measured_pitch,
    "concert pitch": _concert_pitch,
    "length of a concert grand": _concert_length,
    "pitch measured again": _pitch_again,
    "measured pins and pitch": _pins_and_pitch,
    "ownership papers": _ownership_papers,
    "tuner's dates": _tuners_dates,
    "ivory clearance": _ivory_clearance,
    "dated valuation": _dated_valuation,
    "price comparison": _price_comparison,
}


def _on_paper(each: Weighed) -> bool:
    papers = (b for b in each.bearings if b.side == "for" and not b.is_hearsay)
    return each.statement.grade == Grade.DOCUMENT or any(b.source.startswith("document ") for b in papers)


def _is_near(item: WorkItem) -> bool:
    return abs(item.figure) <= NEAR_CENTS


def _years_before(day: date, years: int) -> date:
    return date(day.year - years, day.month, min(day.day, 28))


def _some(names: Iterable[str]) -> str:
    names = list(names)
    listed = ", ".join(names[:MOST_NAMED])
    return listed if len(names) <= MOST_NAMED else f"{listed} and {len(names) - MOST_NAMED} more"
