"""Which sentence of a text rests on which sentence of the record, and which rest on none."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from shop.calc.drafting import Sentence

_SENTENCE_END = re.compile(r"(?<=[.!?…])[”’\")]*\s+")
_QUOTES = "“”‘’\"'"
_NOTHING = " .–-"


@dataclass(frozen=True)
class Traced:
    """A sentence as it stands in a text; `rests_on` is None where no record says it in these words."""

    text: str
    rests_on: Sentence | None = None


def traced(text: str, sentences: Iterable[Sentence]) -> list[Traced]:
    """The text, sentence by sentence in its order.

    Quotation marks, case, runs of space and the stop at the end do not count. A part of a sentence of the
    record rests on nothing: what it leaves out may be how we know it.
    """
    known = _patterns(sentences)
    return [each for line in text.splitlines() for each in _traced_line(" ".join(line.split()), known)]


def beyond_the_record(text: str, sentences: Iterable[Sentence]) -> list[str]:
    """Sentences of a text, in its order, that no drafted one says."""
    return [each.text for each in traced(text, sentences) if each.rests_on is None]


def _patterns(sentences: Iterable[Sentence]) -> list[tuple[re.Pattern, Sentence]]:
    longest_first = sorted(sentences, key=lambda sentence: -len(sentence.text))
    return [(re.compile(_pattern(each.text), re.IGNORECASE), each) for each in longest_first if each.text]


def _pattern(text: str) -> str:
    words = [_word(word) for word in text.rstrip(".").split()]
    end = rf"[{_QUOTES}]*(?:\.[{_QUOTES}]*(?=\s|$)|$)"
    return rf"[{_QUOTES}]*{' '.join(words)}{end}"


def _word(word: str) -> str:
    return "".join(rf"[{_QUOTES}]?" if sign in _QUOTES else re.escape(sign) for sign in word)


def _traced_line(line: str, known: list[tuple[re.Pattern, Sentence]]) -> list[Traced]:
    found, place = [], 0
    while place < len(line):
        match, sentence = _first_match(line, place, known)
        end = match.end() if match else _end_of_sentence(line, place)
        words = line[place:end].strip()
        if words.strip(_NOTHING):
            found.append(Traced(words, sentence))
        place = end + len(line[end:]) - len(line[end:].lstrip())
    return found


def _first_match(line: str, place: int, known) -> tuple[re.Match | None, Sentence | None]:
    for pattern, sentence in known:
        if match := pattern.match(line, place):
            return match, sentence
    return None, None


def _end_of_sentence(line: str, place: int) -> int:
    match = _SENTENCE_END.search(line, place)
    return match.end() if match else len(line)
