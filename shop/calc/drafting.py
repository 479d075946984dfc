"""The words of a listing, drafted from recorded facts alone. Every sentence names the record it rests on.

Nothing here reads stronger than its source: what was only told is printed as told, what nobody settled is
listed as not known. The voice is the shop's own.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from instruments.calc.wording import Saying, sentence_for

_SENTENCE_END = re.compile(r"(?<=[.!?…])[”’\")]*\s+|\n+")


@dataclass(frozen=True)
class Sentence:
    text: str
    source: str


@dataclass(frozen=True)
class Told:
    """One public statement: its text, how it is known, when it happened in words, and where it stands.

    `standing` is one of evidence.RISING, or "" for what the grade alone gives; `relation` a key of
    wording.RELATIONS: who told us reaches no listing by name.
    """

    text: str
    grade: str
    dated: str = ""
    source_note: str = ""
    in_their_words: bool = False
    standing: str = ""
    relation: str = ""


@dataclass(frozen=True)
class Work:
    name: str
    result: str = ""
    measured: str = ""
    done_on: str = ""
    limit: str = ""


@dataclass(frozen=True)
class Fault:
    part: str
    condition: str
    note: str = ""


@dataclass(frozen=True)
class ListingFacts:
    maker: str
    kind: str
    made: str = ""
    made_basis: str = ""
    made_is_told: bool = False
    name_on_fall: str = ""
    model: str = ""
    serial: str = ""
    serial_read_at: str = ""
    size: str = ""
    compass: str = ""
    build: str = ""
    case: str = ""
    naturals: str = ""
    clearance: str = ""
    statements: tuple[Told, ...] = ()
    done: tuple[Work, ...] = ()
    left: tuple[Work, ...] = ()
    faults: tuple[Fault, ...] = ()
    not_examined: tuple[str, ...] = ()
    is_examined: bool = True
    maker_is_known: bool = True


@dataclass(frozen=True)
class Draft:
    headline: str
    body: list[Sentence] = field(default_factory=list)
    history: list[Sentence] = field(default_factory=list)
    work_done: list[Sentence] = field(default_factory=list)
    not_done: list[Sentence] = field(default_factory=list)
    faults: list[Sentence] = field(default_factory=list)


def draft(facts: ListingFacts) -> Draft:
    """Draft every part of a listing from the facts given, and from nothing else."""
    return Draft(
        headline=_headline(facts),
        body=_body(facts),
        history=_history(facts.statements),
        work_done=[_done_sentence(work) for work in facts.done],
        not_done=[*(_left_sentence(work) for work in facts.left), *_unexamined(facts)],
        faults=[_fault_sentence(fault) for fault in facts.faults],
    )


def _headline(facts: ListingFacts) -> str:
    name = f"{facts.maker} {facts.kind.lower()}" if facts.maker_is_known else f"{facts.kind}, maker unknown"
    if not facts.made:
        return name
    return f"{name}, said to be of {facts.made}" if facts.made_is_told else f"{name}, {facts.made}"


def _body(facts: ListingFacts) -> list[Sentence]:
    sentences = []

    def say(text: str, source: str) -> None:
        sentences.append(Sentence(text, source))

    if facts.made and facts.made_is_told:
        say(
            f"We were told it was made {when(facts.made)}; we have seen nothing that shows it.",
            "date, as told",
        )
    elif facts.made:
        say(f"Made {when(facts.made)} ({facts.made_basis}).", "date and its basis")
    if facts.serial:
        where = f", read {facts.serial_read_at}" if facts.serial_read_at else ""
        say(f"Serial number {facts.serial}{where}.", "serial number")
    if facts.name_on_fall and facts.name_on_fall != facts.maker:
        say(f"The name on the fall is {facts.name_on_fall}.", "name on the fall, as found")
    if facts.build:
        say(f"{facts.build}.", "construction")
    if facts.size:
        say(f"{facts.size}.", "measurements")
    if facts.compass:
        say(f"{facts.compass[:1].upper()}{facts.compass[1:]}.", "compass")
    if facts.case:
        say(f"{facts.case}.", "case")
    if facts.naturals:
        say(f"{facts.naturals}.", "key coverings")
    if facts.clearance:
        say(f"{facts.clearance}.", "clearance on file")
    return sentences


def when(words: str) -> str:
    """The date as it follows "made": "in 1912", "about 1912", "between 1910 and 1914"."""
    if words[:1].isdigit():
        return f"in {words}"
    return f"in {words}" if words.startswith("the ") else words


def _history(statements: Iterable[Told]) -> list[Sentence]:
    """What may be said of each statement; a contradicted one is left out."""
    worded = [(told, sentence_for(_saying(told))) for told in statements]
    return [Sentence(said.text, f"statement, {told.grade}") for told, said in worded if said]


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


def _done_sentence(work: Work) -> Sentence:
    parts = [work.name]
    if work.result:
        parts.append(work.result.rstrip("."))
    if work.measured:
        parts.append(work.measured)
    day = f" ({work.done_on})" if work.done_on else ""
    limit = f" Accepted outside its limit: {work.limit.rstrip('.')}." if work.limit else ""
    return Sentence(
        ": ".join(parts[:2]) + "".join(f", {rest}" for rest in parts[2:]) + f"{day}.{limit}", "work item"
    )


def _left_sentence(work: Work) -> Sentence:
    reason = f": {work.result.rstrip('.')}" if work.result else ""
    return Sentence(f"Not done: {work.name[:1].lower()}{work.name[1:]}{reason}.", "work item left")


def beyond_the_record(text: str, sentences: Iterable[Sentence]) -> list[str]:
    """Sentences of a text, in its order, that stand in none of the drafted ones."""
    drafted = _plain(" ".join(sentence.text for sentence in sentences))
    typed = [each.strip() for each in _SENTENCE_END.split(text) if each.strip(" .–-")]
    return [each for each in typed if _plain(each) not in drafted]


def _plain(text: str) -> str:
    """As compared: without case, quotation marks, runs of space or the stop at the end."""
    return " ".join(re.sub("[“”‘’\"']", "", text).casefold().split()).rstrip(" .")


def _unexamined(facts: ListingFacts) -> list[Sentence]:
    if not facts.is_examined:
        return [Sentence("Its condition has not been examined.", "condition report")]
    return [Sentence(f"Not examined: {part.lower()}.", "condition report") for part in facts.not_examined]


def _fault_sentence(fault: Fault) -> Sentence:
    note = f": {fault.note.rstrip('.')}" if fault.note else ""
    return Sentence(f"{fault.part}, {fault.condition.lower()}{note}.", "finding")
