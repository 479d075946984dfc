"""A listing's words as its editor shows them: sentence by sentence, with the record each rests on."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from shop.calc.drafting import Draft, Sentence
from shop.calc.sentence_changes import SAME, Change, changes
from shop.calc.tracing import traced
from shop.outrunning import Judged, label_of
from shop.sources import record_link, source_words
from shop.wording_problems import LISTING_WORDS

OWN_WORDS = "In our own words; nothing on file says it."
DRAFTED_PARTS = (
    ("The instrument", "body"),
    ("Its history", "history"),
    ("What was done", "work_done"),
    ("What was not done", "not_done"),
    ("Faults", "faults"),
    ("Short text", "short"),
    ("On the printed sheet", "paper"),
    ("Notice for a social network", "social"),
)


@dataclass(frozen=True)
class Line:
    text: str
    source: str
    link: str = ""
    is_own: bool = False
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Words:
    """One field of the form with its sentences; `most` characters where a length is set."""

    name: str
    field: object
    lines: tuple[Line, ...]
    most: int | None = None

    @property
    def length(self) -> int:
        return len(" ".join(str(self.field.value() or "").split()))

    @property
    def is_counted(self) -> bool:
        return "data-count" in self.field.field.widget.attrs


def sourced(sentence: Sentence, instrument, *, user) -> Line:
    return Line(sentence.text, source_words(sentence), record_link(instrument, sentence.record, user=user))


def drafted_parts(written: Draft, instrument, *, user) -> list[tuple[str, list[Line]]]:
    return [
        (heading, [sourced(each, instrument, user=user) for each in getattr(written, part)])
        for heading, part in DRAFTED_PARTS
    ]


def words_of_form(form, judged: Iterable[Judged], most: dict[str, int | None], *, user) -> list[Words]:
    """In the order of the form."""
    instrument, lines = form.instance.instrument, {name: [] for name in LISTING_WORDS}
    for each in judged:
        rests_on = each.sentence.rests_on
        if rests_on:
            line = replace(sourced(rests_on, instrument, user=user), text=each.sentence.text)
        else:
            line = Line(each.sentence.text, OWN_WORDS, is_own=True, cautions=each.cautions)
        lines[each.name].append(line)
    return [Words(name, form[name], tuple(lines[name]), most.get(name)) for name in form.fields]


@dataclass(frozen=True)
class PartChanges:
    heading: str
    changes: tuple[Change, ...]


def changes_between(before: dict, after: dict) -> list[PartChanges]:
    """Of two published wordings, part by part, what is new, changed or gone."""
    found = []
    for name in LISTING_WORDS:
        held = changes(sentences_in(before.get(name, "")), sentences_in(after.get(name, "")))
        if moved := tuple(each for each in held if each.kind != SAME):
            found.append(PartChanges(label_of(name), moved))
    return found


def sentences_in(text: str) -> list[str]:
    return [each.text for each in traced(text, ())]


def kept_parts(words: dict, instrument, *, user) -> list[tuple[str, list[Line]]]:
    """A published wording as it was, with the sources it had then; parts without words are left out.

    A version from before sources were kept has lines that name none.
    """
    parts = [
        (label_of(name), _kept_lines(name, words, instrument, user))
        for name in LISTING_WORDS
        if name != "headline"
    ]
    limits = [Line(line, "") for line in words.get("limits", "").splitlines()]
    return [(label, lines) for label, lines in [*parts, ("Stated from the record", limits)] if lines]


def _kept_lines(name: str, words: dict, instrument, user) -> list[Line]:
    text = words.get(name, "")
    if "sources" not in words:
        return [Line(line, "") for line in text.splitlines()]
    had = [Sentence(said, *where) for part, said, *where in words["sources"] if part == name]
    return [
        sourced(each.rests_on, instrument, user=user)
        if each.rests_on
        else Line(each.text, OWN_WORDS, is_own=True)
        for each in traced(text, had)
    ]
