"""What is claimed of an instrument, and what bears on it. Names in here are the file's, not the public's."""

from dataclasses import dataclass

from instruments.calc import edtf

GRADES = ("seen", "measured", "mark", "document", "told", "inferred")
STRENGTHS = ("strong", "fair", "weak")

EVENTS = {
    "moved": "moved",
    "repaired": "repaired",
    "restored": "restored",
    "restrung": "restrung",
    "replaced": "renewed in part",
}
STRETCHES = {"owned": "owned", "used": "used"}
ASSERTIONS = {"", "made", "maker", "serial", "original", "patent", *EVENTS, *STRETCHES}


@dataclass(frozen=True, slots=True)
class Claim:
    """One statement, and the part of it that can be held against others.

    `asserts` is "" (nothing that can be checked by itself) or one of: "made"; "maker" (who); "serial" (`edtf`
    then holds the years of the maker's marks on either side); "owned" and "used" (who; an interval runs from
    its start to its end, one date is a day within it); "moved", "repaired", "restored", "restrung" and
    "replaced" (the topic's part; `who` is the owner said to have had it done); "original" (the topic's part,
    still the first one on that date); "patent" (a feature that nobody built before that date).
    ValueError when a word is unknown or the date is not EDTF.
    """

    key: str
    topic: str
    grade: str
    text: str
    edtf: str = ""
    asserts: str = ""
    who: str = ""

    def __post_init__(self) -> None:
        if self.grade not in GRADES:
            raise ValueError(f"“{self.grade:.20}” is not a way of knowing: {', '.join(GRADES)}.")
        if self.asserts not in ASSERTIONS:
            raise ValueError(f"“{self.asserts:.20}” is nothing that can be held against other statements.")
        if self.edtf:
            edtf.parse(self.edtf)

    @property
    def part(self) -> str:
        """The part of the instrument that an event or "original" speaks of."""
        return "strings" if self.asserts == "restrung" else self.topic

    @property
    def person(self) -> str:
        """`who` as compared: without case, runs of space or a leading article."""
        return " ".join(self.who.casefold().split()).removeprefix("the ")


@dataclass(frozen=True, slots=True)
class Bearing:
    """One piece of evidence for or against a claim.

    `source` tells pieces apart: the same source counts once on each side, however often it is put on file.
    `is_hearsay`: somebody's word, which counts as weak whatever strength it is given.
    """

    side: str
    strength: str
    note: str = ""
    source: str = ""
    is_hearsay: bool = False

    def __post_init__(self) -> None:
        if self.side not in {"for", "against"}:
            raise ValueError(f"Evidence speaks for or against, not “{self.side:.20}”.")
        if self.strength not in STRENGTHS:
            raise ValueError(f"Evidence is strong, fair or weak, not “{self.strength:.20}”.")
