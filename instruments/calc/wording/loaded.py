"""Words with no agreed meaning, or that run ahead of what can be shown, each with what would have to back it.

Sources: the trade's own complaints about adverts; common practice, no published source, but for "antique"
(SI 1995/1268 art 2: more than 100 years old) and ivory (Ivory Act 2018).
"""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from instruments.calc.wording.parts import PART_NAMES, parts_called


@dataclass(frozen=True, slots=True)
class Term:
    """`backing` names what on file would settle it; "" where nothing can."""

    phrases: tuple[str, ...]
    reason: str
    needs: str
    backing: str = ""


@dataclass(frozen=True, slots=True)
class LoadedWord:
    """A word as it stands in a text, from `start` on, with why it is a risk and what it needs behind it.

    `parts` are the topics of those parts it is said of without evidence behind it; only "original" has any.
    """

    word: str
    start: int
    reason: str
    needs: str
    backing: str
    parts: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        return f"“{self.word}”: {self.reason} {self.needs}"


WORK_LIST = "work list"
PART_EVIDENCE = "evidence for the part"

TERMS = (
    Term(
        ("restored", "restoration", "rebuilt", "reconditioned", "refurbished", "refurbishment", "overhauled",
         "renovated", "fully serviced", "rejuvenated"),
        "it has no agreed meaning; it can stand for a polish or for a new plank.",
        "Behind it must stand an itemised list of the work done.",
        WORK_LIST,
    ),
    Term(
        ("perfect", "perfectly", "flawless", "immaculate", "pristine", "mint", "mint condition", "like new",
         "as new", "as good as new", "good as new", "faultless", "needs nothing", "no work needed",
         "nothing to do"),
        "nobody can show it, and the first tuner who calls will test it.",
        "Nothing can stand behind it: say what was examined, measured and left.",
    ),
    Term(
        ("excellent condition", "great condition", "good condition", "superb condition", "showroom condition",
         "museum quality", "concert quality", "well maintained", "well looked after"),
        "it is an opinion dressed as a finding.",
        "Behind it must stand a condition report, part by part, that finds it so.",
        "sound report",
    ),
    Term(
        ("original", "originals", "all original", "untouched"),
        "strings, hammers, key tops and finish are often renewed, and nobody writes it down.",
        "Behind it must stand evidence for each part that is called so.",
        PART_EVIDENCE,
    ),
    Term(
        ("rare", "very rare", "rarity", "unique", "one of a kind", "sought after", "highly collectable",
         "collector's item"),
        "it is claimed of nearly every old piano.",
        "Behind it must stand a count of those known, with its source.",
        "count of those known",
    ),
    Term(
        ("antique", "antiques"),
        "age is not value, and in UK tax law it means more than 100 years old.",
        "Behind it must stand a date that proves more than 100 years.",
        "proof of 100 years",
    ),
    Term(
        ("vintage", "golden age", "period piece"),
        "it says no more than that it is old.",
        "Give the date instead, with its basis.",
    ),
    Term(
        ("concert pitch", "at pitch", "up to pitch"),
        "pitch drifts with weeks and weather, and most such claims were never measured.",
        "Behind it must stand a pitch measured at A4 = 440 Hz, with its day.",
        "concert pitch",
    ),
    Term(
        ("concert grand", "concert instrument", "concert piano", "concert hall", "concert standard",
         "concert class", "concert level", "concert ready"),
        "it is said of pianos that never stood before an audience.",
        "Behind it must stand a grand about nine feet long, as measured.",
        "length of a concert grand",
    ),
    Term(
        ("in tune",),
        "pitch drifts with weeks and weather, and most such claims were never measured.",
        "Behind it must stand a measured pitch with its day.",
        "measured pitch",
    ),
    Term(
        ("holds its tune", "holds tune", "holds its tuning", "stays in tune"),
        "only time and a second reading show it.",
        "Behind it must stand a pitch measured again after some weeks.",
        "pitch measured again",
    ),
    Term(
        ("just needs tuning", "only needs tuning", "just needs a tune", "only needs a tune", "needs a tune",
         "needs tuning", "just needs a tuning", "just needs a good tuning"),
        "often it means pins, strings and two tunings.",
        "Behind it must stand the turning force of the pins and the pitch, measured.",
        "measured pins and pitch",
    ),
    Term(
        ("one owner", "single owner", "one careful owner", "from new", "one family from new"),
        "memory slips by ten or twenty years, and the first owners are seldom known.",
        "Behind it must stand papers for the whole time.",
        "ownership papers",
    ),
    Term(
        ("always tuned", "regularly tuned", "tuned regularly", "always serviced", "regularly serviced"),
        "few can show it.",
        "Behind it must stand a tuner's card or dates inside the piano.",
        "tuner's dates",
    ),
    Term(
        ("never used", "hardly used", "barely used", "little used", "never played", "hardly played",
         "barely played", "unused"),
        "it usually means never tuned either.",
        "Behind it must stand the state of hammers, key tops and centres.",
        "little worn",
    ),
    Term(
        ("steel frame", "steel framed", "steel-framed"),
        "the frame of a piano is cast iron.",
        "Nothing can stand behind it: write iron frame, and whether it is a full one.",
    ),
    Term(
        ("top brand", "best make", "best brand", "best maker", "finest maker", "world class", "legendary",
         "prestigious", "premium"),
        "it praises the name and says nothing of this piano.",
        "Nothing can stand behind it: say what this one is.",
    ),
    Term(
        ("beginner piano", "beginner's piano", "perfect for beginners", "ideal for beginners",
         "great for beginners", "ideal for a beginner", "starter piano", "learner piano"),
        "a beginner is the one who cannot hear what is wrong with it.",
        "Behind it must stand the list of its faults.",
        "list of faults",
    ),
    Term(
        ("real ivory", "genuine ivory", "ivory keys", "ivory key tops"),
        "offering ivory before it is registered can be a crime, and joins in celluloid pass for it.",
        "Behind it must stand an examination and, where the law asks for it, a registration.",
        "ivory clearance",
    ),
    Term(
        ("appraised", "appraised at", "valued at", "insured for", "investment", "will hold its value",
         "holds its value", "appreciating"),
        "a figure somebody wrote once is no market.",
        "Behind it must stand a dated valuation and who made it.",
        "dated valuation",
    ),
    Term(
        ("half price", "originally cost", "cost new", "new price", "bargain", "below market"),
        "the price of a new one, then or now, is no measure of this one.",
        "Behind it must stand the comparison, with date and source.",
        "price comparison",
    ),
)  # fmt: skip


def _pattern(phrase: str) -> str:
    return re.escape(phrase).replace(r"\ ", r"[\s\-]+").replace("'", "['’]")


_BY_PATTERN = {_pattern(phrase): term for term in TERMS for phrase in term.phrases}
_ONE = "|".join(sorted(_BY_PATTERN, key=len, reverse=True))
_FOUND = re.compile(rf"(?<!\w)(?:{_ONE})(?!\w)", re.IGNORECASE)
_DENIED = re.compile(
    r"(?:\bnot|\bnever|\bnon|\bun|\bno longer)[\s-]+(?:been\s+)?(?:fully\s+)?$", re.IGNORECASE
)
_SPOKEN = re.compile(
    r"\b(?:told|tells|says?|said|writes?|wrote|written|reads?|words?)\b[^.!?“”]*$", re.IGNORECASE
)
_QUOTATIONS = re.compile(r"“[^“”]*”|\"[^\"]*\"|(?<!\w)‘[^‘]*?’(?!\w)")


def loaded_words(text: str, backed: Collection[str] = ()) -> list[LoadedWord]:
    """The loaded words of a public text, in their order.

    Left alone are: what is denied ("not restored"), what stands inside a quotation of somebody's words (the
    sentence says that it was told, said, written or read), and terms whose backing is in `backed`: the
    `Term.backing` names of what is on file, for example {"work list", "measured pitch"}. Evidence for a part
    goes by `part_backing` of its topic; a word that names no part needs it for all of them.
    """
    spoken, found, backed = list(_spoken_spans(text)), [], {*backed} - {""}
    for match in _FOUND.finditer(text):
        term = _term(match.group())
        parts = _without_evidence(text, match, backed) if term.backing == PART_EVIDENCE else ()
        is_backed = not parts if term.backing == PART_EVIDENCE else term.backing in backed
        if is_backed or _DENIED.search(_before(text, match.start())):
            continue
        if not any(start <= match.start() < end for start, end in spoken):
            found.append(
                LoadedWord(match.group(), match.start(), term.reason, term.needs, term.backing, parts)
            )
    return found


def part_backing(topic: str) -> str:
    """What `backed` holds where evidence shows the part of a topic to be the first one."""
    return f"{PART_EVIDENCE}: {topic}"


def _without_evidence(text: str, match: re.Match, backed: Collection[str]) -> tuple[str, ...]:
    parts = parts_called(text, match.start(), match.end()) or tuple(PART_NAMES)
    return tuple(topic for topic in parts if part_backing(topic) not in backed)


def names_in(text: str, names: Iterable[str]) -> list[str]:
    """Those of the names that stand in a text as whole words, whatever their case: none may go public."""
    folded = f" {_words_of(text)} "
    return [name for name in names if (words := _words_of(name)) and f" {words} " in folded]


def _words_of(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def _term(words: str) -> Term:
    """By the pattern that found it: regular expressions and `casefold` differ on letters such as "ı"."""
    return next(term for pattern, term in _BY_PATTERN.items() if re.fullmatch(pattern, words, re.IGNORECASE))


def _before(text: str, place: int) -> str:
    return text[max(0, place - 160) : place]


def _spoken_spans(text: str) -> Iterable[tuple[int, int]]:
    for quotation in _QUOTATIONS.finditer(text):
        if _SPOKEN.search(_before(text, quotation.start())):
            yield quotation.span()
