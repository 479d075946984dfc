"""Which parts of an instrument a word is said of: "original strings", "hammers and case are untouched"."""

import re

# By the topic under which evidence on the part is kept.
PART_NAMES = {
    "strings": "the strings",
    "hammers": "the hammers",
    "keys": "the key tops",
    "case": "the finish of the case",
    "restored": "the plank and its pins",
}
_WORDS = {
    "strings": r"strings?|stringing|wires?",
    "hammers": r"hammers?",
    "keys": r"keys?|key[\s-]?tops?|naturals?|sharps?|ivory|ivories|coverings?",
    "case": r"case|casework|finish|polish|veneers?|lacquer",
    "restored": r"plank|pin[\s-]?block|pins?",
}
_PATTERNS = {topic: re.compile(rf"\b(?:{words})\b", re.IGNORECASE) for topic, words in _WORDS.items()}
# Here the clause ends, or the talk turns to parts that are not called so.
_ENDS = re.compile(
    r"[.;:!?\n]|\b(?:but|with|except|new|newer|renewed|replaced|re-?covered|refinished)\b", re.IGNORECASE
)
_SENTENCE_ENDS = re.compile(r"[.!?\n]")
_SAID_AFTER = re.compile(
    r"\b(?:is|are|was|were|be|been|looks?|seems?|remains?|stayed)\s+(?:(?:still|all|both|the|[a-z]+ly)\s+)*$",
    re.IGNORECASE,
)


def parts_called(text: str, start: int, end: int) -> tuple[str, ...]:
    """The topics of the parts that the word from `start` to `end` is said of; () where it names none.

    Those after the word count, or those before it where it follows "are" or the like; where there are none,
    those at the other side of a colon: "Case: oak, original". A heuristic for public texts in English;
    without a part the whole instrument is meant.
    """
    before, after = _ENDS.split(text[:start])[-1], _ENDS.split(text[end:])[0]
    beside = _named_in(before if _SAID_AFTER.search(before) else after)
    heading = _SENTENCE_ENDS.split(text[:start])[-1].rpartition(":")[0]
    listed = _SENTENCE_ENDS.split(text[end:])[0] if text[end:].startswith(":") else ""
    return beside or _named_in(f"{heading} {listed}")


def _named_in(words: str) -> tuple[str, ...]:
    return tuple(topic for topic, pattern in _PATTERNS.items() if pattern.search(words))
