"""The words of a listing, drafted from recorded facts alone. Every sentence names the record it rests on.

Nothing here reads stronger than its source: what was only told is printed as told, what nobody settled is
listed as not known. Wording and order are the shop's own (`calc.voice`); how a statement of somebody reads is
settled by how it is known, and by nothing else.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from instruments.calc.wording import Saying, sentence_for
from shop.calc.listing_facts import Fault, ListingFacts, Told, Touch, Work
from shop.calc.voice import Version, Voice, house_voice

MOST_WORKS = 3
# Never left out of a notice for want of room.
HEADLINES = ("headline", "headline_told", "headline_undated")
STAYS = (*HEADLINES, "made_told", "faults", "never_examined", "page")
_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Sentence:
    """`record` is the row it rests on, "finding 9" or "identity"; `code` the form that worded it."""

    text: str
    source: str
    record: str = ""
    code: str = ""


@dataclass(frozen=True)
class Draft:
    """The long text by its parts, then the other versions, each sentence with its source."""

    headline: str
    headline_from: Sentence
    body: list[Sentence] = field(default_factory=list)
    history: list[Sentence] = field(default_factory=list)
    work_done: list[Sentence] = field(default_factory=list)
    not_done: list[Sentence] = field(default_factory=list)
    faults: list[Sentence] = field(default_factory=list)
    short: list[Sentence] = field(default_factory=list)
    paper: list[Sentence] = field(default_factory=list)
    social: list[Sentence] = field(default_factory=list)

    @property
    def every(self) -> list[Sentence]:
        """All that the record says in any version."""
        parts = (self.body, self.history, self.work_done, self.not_done, self.faults)
        return [
            self.headline_from,
            *(each for part in (*parts, self.short, self.paper, self.social) for each in part),
        ]


def draft(facts: ListingFacts, voice: Voice | None = None) -> Draft:
    """Draft every part of a listing from the facts given, and from nothing else."""
    voice = voice or house_voice()
    topics = _topics(facts, voice)
    headline = topics["headline"][0]
    written = {code: _ordered(version, topics) for code, version in voice.versions.items()}
    notice = [headline, *written["social"]]
    return Draft(
        headline=headline.text,
        headline_from=headline,
        body=written["long"],
        history=topics["history"],
        work_done=_done(facts.done, voice),
        not_done=[*_left(facts.left, voice), *_unexamined(facts, voice)],
        faults=_faults(facts.faults, voice),
        short=fitted(written["short"], voice.versions["short"].most_characters),
        paper=written["print"],
        social=fitted(notice, voice.versions["social"].most_characters),
    )


def _ordered(version: Version, topics: Mapping[str, list[Sentence]]) -> list[Sentence]:
    return [sentence for topic in version.order for sentence in topics.get(topic, ())]


def fitted(sentences: list[Sentence], most_characters: int | None) -> list[Sentence]:
    """As many as there is room for, in their order: what has to stay stays, the last of the rest goes."""
    kept = list(sentences)
    while most_characters and length_of(kept) > most_characters:
        spare = [place for place, each in enumerate(kept) if each.code not in STAYS]
        if not spare:
            break
        del kept[spare[-1]]
    return kept


def length_of(sentences: Iterable[Sentence]) -> int:
    return len(" ".join(sentence.text for sentence in sentences))


def _topics(facts: ListingFacts, voice: Voice) -> dict[str, list[Sentence]]:
    """Every sentence that may stand in a running text, by its topic."""
    spoken: dict[str, list[Sentence]] = {
        "headline": [_headline(facts, voice)],
        "history": _history(facts.statements),
    }
    for code, source, record, values in _facts_by_code(facts):
        if words := voice.say(code, **values):
            topic = voice.forms[code].topic
            spoken.setdefault(topic, []).append(Sentence(words, source, record, code))
    spoken["faults"] = _fault_count(facts, voice)
    return spoken


def _headline(facts: ListingFacts, voice: Voice) -> Sentence:
    code = "headline_undated"
    if facts.made:
        code = "headline_told" if facts.made_is_told else "headline"
    words = voice.say(code, name=facts.name, maker=facts.maker, kind=facts.kind.lower(), made=facts.made)
    source = "maker, kind and date, as told" if facts.made_is_told else "maker, kind and date"
    return Sentence(words, source, "identity", code)


def _facts_by_code(facts: ListingFacts) -> list[tuple[str, str, str, dict]]:
    """Code of the form, the source in words, the record, and the values for its places."""
    return [*_identity(facts), *_other_records(facts)]


def _identity(facts: ListingFacts) -> list[tuple[str, str, str, dict]]:
    dated = {"made": facts.made, "when": when(facts.made), "basis": facts.made_basis}
    other_name = facts.name_on_fall if facts.name_on_fall != facts.maker else ""
    rows = [
        ("made_told", "date, as told", dated if facts.made_is_told else {}),
        ("made", "date and its basis", {} if facts.made_is_told else dated),
        ("serial", "serial number", {"serial": facts.serial, "where": facts.serial_read_at}),
        ("name_on_fall", "name on the fall, as found", {"fall": other_name, "maker": facts.maker}),
        ("build", "construction", {"build": facts.build}),
        ("size", "measurements", {"size": facts.size, "tall": facts.tall}),
        ("compass", "compass", {"compass": facts.compass}),
        ("case", "case", {"case": facts.case}),
        ("coverings", "key coverings", {"coverings": facts.naturals}),
    ]
    return [(code, source, "identity", values) for code, source, values in rows]


def _other_records(facts: ListingFacts) -> list[tuple[str, str, str, dict]]:
    days = f"{facts.trial_days} days" if facts.trial_days else ""
    return [
        ("clearance", "clearance on file", "clearance", {"clearance": facts.clearance}),
        ("touch", "weigh-off after work", *_touch_values(facts.touch)),
        ("works", "work items", "work", {"works": _work_names(facts.done)}),
        ("price", "asking price", facts.price_record, {"price": facts.price}),
        ("trial", "terms of a home trial", "terms", {"trial": days}),
        ("page", "address of the window", "terms", {"address": facts.address}),
    ]


def _touch_values(touch: Touch | None) -> tuple[str, dict]:
    if touch is None:
        return "", {}
    values = {"inside": touch.inside, "weighed": touch.weighed}
    worded = {name: str(count) for name, count in values.items()}
    return touch.record, worded | {"tolerance": touch.tolerance_g, "day": touch.day}


def _work_names(done: Iterable[Work]) -> str:
    """Of several the first few by name, those before all that were closed by a measurement."""
    ranked = sorted(done, key=lambda work: not work.measured)
    names = list(dict.fromkeys(work.name[:1].lower() + work.name[1:] for work in ranked))
    more = len(names) - MOST_WORKS
    return ", ".join(names[:MOST_WORKS]) + (f" and {more} more" if more > 0 else "")


def when(words: str) -> str:
    """The date as it follows "made": "in 1912", "about 1912", "between 1910 and 1914"."""
    if words[:1].isdigit():
        return f"in {words}"
    return f"in {words}" if words.startswith("the ") else words


def _history(statements: Iterable[Told]) -> list[Sentence]:
    """What may be said of each statement; a contradicted one is left out."""
    worded = [(told, sentence_for(_saying(told))) for told in statements]
    return [
        Sentence(said.text, f"statement, {told.grade}", told.record, "history")
        for told, said in worded
        if said
    ]


def _saying(told: Told) -> Saying:
    return Saying(
        text=told.text,
        grade=told.grade,
        standing=told.standing,
        relation=told.relation,
        in_their_words=told.in_their_words,
        dated=told.dated,
        source=told.source_note,
    )


def _done(done: Iterable[Work], voice: Voice) -> list[Sentence]:
    return [
        Sentence(
            voice.say(
                "done",
                work=work.name,
                result=_clause(work.result),
                measured=work.measured,
                day=work.done_on,
                limit=_clause(work.limit),
            ),
            "work item",
            work.record,
            "done",
        )
        for work in done
    ]


def _left(left: Iterable[Work], voice: Voice) -> list[Sentence]:
    return [
        Sentence(
            voice.say("left", work=work.name[:1].lower() + work.name[1:], reason=_clause(work.result)),
            "work item left",
            work.record,
            "left",
        )
        for work in left
    ]


def _unexamined(facts: ListingFacts, voice: Voice) -> list[Sentence]:
    if not facts.is_examined:
        return [NEVER_EXAMINED]
    return [
        Sentence(voice.say("unexamined", part=part.lower()), "condition report", "condition", "unexamined")
        for part in facts.not_examined
    ]


NEVER_EXAMINED = Sentence(
    "Its condition has not been examined.", "condition report", "condition", "never_examined"
)


def _faults(faults: Iterable[Fault], voice: Voice) -> list[Sentence]:
    return [
        Sentence(
            voice.say("fault", part=fault.part, condition=fault.condition.lower(), note=_clause(fault.note)),
            "finding",
            fault.record,
            "fault",
        )
        for fault in faults
    ]


def _fault_count(facts: ListingFacts, voice: Voice) -> list[Sentence]:
    if not facts.is_examined:
        return [NEVER_EXAMINED]
    count = len(facts.faults)
    if not count:
        return []
    in_words = _COUNTS[count - 1] if count <= len(_COUNTS) else str(count)
    return [Sentence(voice.say("faults", count=in_words), "condition report", "condition", "faults")]


def _clause(words: str) -> str:
    return words.rstrip(". ")
