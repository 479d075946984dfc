"""A statement as the public may read it, and as the file keeps it: never stronger outside than inside.

How strong a sentence reads is a ladder (`Strength`); the words on each rung are fixed here, so that
`reads_as` can tell the rung of a sentence again, also of one that somebody edited.
"""

import re
from dataclasses import dataclass
from enum import IntEnum

from instruments.calc.evidence import AS_TOLD, CONTRADICTED, OPEN, RISING, SUPPORTED
from instruments.calc.evidence.claims import GRADES
from instruments.calc.wording.clauses import closed, following, quoted, speaks_for_itself

# Who told us, without a name: the only words for it that can reach the public.
RELATIONS = {
    "last_owner": "the last owner",
    "last_owner_family": "the last owner's family",
    "earlier_owner": "an earlier owner",
    "earlier_owner_family": "an earlier owner's family",
    "player": "somebody who played it",
    "tuner": "a tuner who knew it",
    "workshop": "somebody who worked on it",
    "trade": "the dealer it came from",
    "school": "the school it came from",
    "church": "the church it came from",
    "neighbour": "a neighbour of the last owner",
}


class Strength(IntEnum):
    """How strong a sentence reads, weakest first; PLAIN is a sentence that says it without a source."""

    AGAINST = 0
    OPEN = 1
    TOLD = 2
    INFERRED = 3
    TOLD_AND_AGREEING = 4
    MARKED = 5
    SHOWN = 6
    FOUND = 7
    PLAIN = 8


@dataclass(frozen=True, slots=True)
class Saying:
    """One statement to be put into words.

    `standing` is one of evidence.RISING, or "" for what the grade alone gives; `relation` is a key of
    RELATIONS or ""; `dated` is in words; `source` is the note on the source, and for an inference the reason.
    `told_by`, `told_on` and `standing_sentence` are for the file alone.
    """

    text: str
    grade: str
    standing: str = ""
    relation: str = ""
    in_their_words: bool = False
    dated: str = ""
    source: str = ""
    is_public: bool = True
    told_by: str = ""
    told_on: str = ""
    standing_sentence: str = ""

    def __post_init__(self) -> None:
        if self.grade not in GRADES:
            raise ValueError(f"“{self.grade:.20}” is not a way of knowing: {', '.join(GRADES)}.")
        if self.standing and self.standing not in RISING:
            raise ValueError(f"“{self.standing:.20}” is not a standing: {', '.join(RISING)}.")
        if self.relation and self.relation not in RELATIONS:
            raise ValueError("Who told us is given by relation, never by name.")

    @property
    def is_quoted(self) -> bool:
        """Words that are the teller's or the paper's own are printed as such, marked so or not."""
        own = self.in_their_words or speaks_for_itself(self.text)
        return own and self.grade in {"told", "mark", "document"}

    @property
    def stands(self) -> str:
        """The standing to be worded; "as told" is nobody's but a told statement's."""
        if self.standing == AS_TOLD and self.grade != "told":
            return OPEN
        return self.standing or {"told": AS_TOLD, "inferred": OPEN}.get(self.grade, SUPPORTED)


@dataclass(frozen=True, slots=True)
class Worded:
    text: str
    strength: Strength


_UNDISPUTED = {
    "told": Strength.TOLD_AND_AGREEING,
    "inferred": Strength.INFERRED,
    "mark": Strength.MARKED,
    "document": Strength.SHOWN,
    "seen": Strength.FOUND,
    "measured": Strength.FOUND,
}
_TAILS = {
    OPEN: "what we found leaves it open",
    AS_TOLD: "we have seen no paper",
    CONTRADICTED: "what we found speaks against it",
}
_NOT_PROVEN = "it is not proven"
_AGREES = "what we found agrees with it"


def sentence_for(saying: Saying, *, public: bool = True) -> Worded | None:
    """The sentence fit for a statement's grade and standing.

    For the public it is None where nothing may be said: the statement is private, or contradicted. Who told
    us is then a relation, and never a name.
    """
    return public_sentence(saying) if public else file_sentence(saying)


def public_sentence(saying: Saying) -> Worded | None:
    if not saying.is_public or saying.stands == CONTRADICTED:
        return None
    return Worded(_sentence(saying, _teller(saying), _tail(saying)), strength_of(saying))


def file_sentence(saying: Saying) -> Worded:
    teller = " ".join(saying.told_by.split()) or _teller(saying)
    said = _sentence(saying, teller, "" if saying.standing_sentence else _tail(saying), saying.told_on)
    return Worded(" ".join(filter(None, [said, saying.standing_sentence])), strength_of(saying))


def strength_of(saying: Saying) -> Strength:
    """A statement's rung: it never falls when its standing rises."""
    if saying.stands == CONTRADICTED:
        return Strength.AGAINST
    if saying.stands == OPEN:
        return Strength.OPEN
    return Strength.TOLD if saying.stands == AS_TOLD else _UNDISPUTED[saying.grade]


def reads_as(sentence: str) -> Strength:
    """How strong a public sentence reads; PLAIN where it names no source. A heuristic for edited words."""
    words = " ".join(sentence.split()).rstrip(".")
    if words.endswith(_TAILS[CONTRADICTED]):
        return Strength.AGAINST
    if _ends(words, _TAILS[OPEN]) or _ends(words, _NOT_PROVEN):
        return Strength.OPEN
    if _TOLD_LEAD.match(words):
        return Strength.TOLD_AND_AGREEING if _ends(words, _AGREES) else Strength.TOLD
    return next((strength for lead, strength in _LEADS if lead.match(words)), Strength.PLAIN)


def _ends(words: str, tail: str) -> bool:
    """The tail closes the sentence, or stands before a list of sentences that it covers."""
    return words.casefold().endswith(tail) or f"; {tail}: " in words


_TELLERS = "|".join(re.escape(words) for words in RELATIONS.values())
_TOLD_LEAD = re.compile(rf"(?:we were told|(?:{_TELLERS}) told us)\b", re.IGNORECASE)
_LEADS = [
    (re.compile(r"we infer\b", re.IGNORECASE), Strength.INFERRED),
    (re.compile(r"(?:we (?:saw|measured)|seen by us)\b", re.IGNORECASE), Strength.FOUND),
    (re.compile(r"(?:an?|the) [^:.“]{1,300}? (?:reads|suggests)\b", re.IGNORECASE), Strength.MARKED),
    (re.compile(r"(?:an?|the) [^:.“]{1,300}? (?:shows|says)\b", re.IGNORECASE), Strength.SHOWN),
]


def _teller(saying: Saying) -> str:
    words = RELATIONS.get(saying.relation, "")
    return words[:1].upper() + words[1:]


def _tail(saying: Saying) -> str:
    if saying.grade == "told" and saying.stands == SUPPORTED:
        return _AGREES
    if saying.grade == "inferred" and saying.stands == OPEN:
        return _NOT_PROVEN
    return _TAILS.get(saying.stands, "")


def _sentence(saying: Saying, teller: str, tail: str, told_on: str = "") -> str:
    lead = _lead(saying, teller, told_on)
    if saying.is_quoted:
        return closed(f"{lead.quoting} {quoted(saying.text)}{_remarks(saying)}", tail)
    return following(lead.stating, saying.text, _remarks(saying), tail, colon_only=lead.colon_only)


@dataclass(frozen=True, slots=True)
class _Lead:
    stating: str
    quoting: str
    colon_only: bool = False


def _lead(saying: Saying, teller: str, told_on: str) -> _Lead:
    if saying.grade == "told":
        day = f" on {told_on}" if told_on else ""
        lead = f"{teller} told us{day}" if teller else f"We were told{day}"
        return _Lead(lead, f"{lead}:")
    if saying.grade == "inferred":
        return _Lead("We infer", "")
    if saying.grade == "seen":
        return _Lead("We saw", "")
    if saying.grade == "measured":
        return _Lead("We measured", "", colon_only=True)
    plain = {"mark": "A mark in the instrument", "document": "A document"}[saying.grade]
    stating, quoting = {"mark": ("suggests", "reads"), "document": ("shows", "says")}[saying.grade]
    source = _subject(saying.source, plain)
    return _Lead(f"{source} {stating}", f"{source} {quoting}")


def _subject(source: str, plain: str) -> str:
    """A source note that begins with an article is the subject itself; another stands in brackets."""
    note = " ".join(re.sub(r"[:.;“”]", " ", source).split())
    if not note:
        return plain
    if re.match(r"(?:an?|the) \S", note, re.IGNORECASE):
        return note[:1].upper() + note[1:]
    return f"{plain} ({note})"


def _remarks(saying: Saying) -> str:
    """The date, and what we saw it by, in brackets; after an inference its reason."""
    note = " ".join(saying.source.split()).rstrip(".;")
    seen_by = note if saying.grade in {"seen", "measured"} else ""
    inside = "; ".join(filter(None, [saying.dated, seen_by]))
    reason = f", because {note}" if note and saying.grade == "inferred" else ""
    return (f" ({inside})" if inside else "") + reason
