"""What may be done with an instrument that holds protected material, by the law the shop trades under.

The law itself stands in fixtures/protected_materials.json, each rule with its source and how old the text was
that was read; here it is only read and applied. An unsettled covering counts as elephant ivory (our rule, on
the side of caution). Check the law in force; this is not legal advice.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from instruments.calc.edtf import bounds
from shop.calc.ivory import made_before

ACTS = {
    "buying": "Buy it",
    "offering": "Offer or advertise it",
    "lending": "Hire it out, or lend it on a paid trial",
    "exchanging": "Exchange it",
    "selling": "Sell it",
    "exporting": "Send it abroad",
    "giving": "Give it away, or lend it for nothing",
}
BLOCKED, CAUTIONED, FREE = "blocked", "cautioned", "free"
LEVELS = {BLOCKED: "Blocked", CAUTIONED: "With care", FREE: "Free"}
PERMIT = "permit"
PAPERS = {"registration", "certificate", "exemption", PERMIT}
KINDS = {"made_before", "share_below", "mass_below_g"}
UNSETTLED = "unsettled"  # as a material: counts as elephant ivory
COUNTS_AS = {UNSETTLED: "elephant_ivory", "unsettled_rosewood": "dalbergia_nigra"}
FINDINGS = {
    "elephant_ivory": "The keys are covered with ivory",
    "listed_ivory": "There is ivory of a listed species in it",
    "walrus_ivory": "There is walrus ivory in it",
    UNSETTLED: "What the keys are covered with is not settled, and counts as ivory until it is",
    "unsettled_rosewood": "Which rosewood it is, is not settled, and counts as Brazilian until it is",
    "dalbergia_nigra": "There is Brazilian rosewood in it",
    "dalbergia_cochinchinensis": "There is Siamese rosewood in it",
    "dalbergia_other": "There is rosewood in it",
}
LACKING = "no registration or clearance is on file"
CAUTION = "Check the law in force; this is not legal advice."


@dataclass(frozen=True)
class Rule:
    """What the law says of some acts with some materials, without and with one of `papers` on file."""

    materials: frozenset[str]
    acts: frozenset[str]
    without: str
    with_: str
    papers: frozenset[str]
    sentence: str
    with_sentence: str
    source: str
    read_as_of: str


@dataclass(frozen=True)
class Condition:
    """What has to be shown besides: a day of making, a share of the volume, a mass."""

    kind: str
    limit: date | Decimal
    materials: frozenset[str]
    acts: frozenset[str]
    fails: str
    fails_sentence: str
    unproven_sentence: str
    source: str
    read_as_of: str
    counts_added: bool = False  # ivory added later has to be as old
    unless_certificate: bool = False


@dataclass(frozen=True)
class Law:
    code: str
    ends_with_owner: frozenset[str]
    rules: tuple[Rule, ...]
    conditions: tuple[Condition, ...]

    def rule(self, material: str, act: str) -> Rule:
        """KeyError where the table says nothing, which `table_faults` does not let pass."""
        for rule in self.rules:
            if material in rule.materials and act in rule.acts:
                return rule
        raise KeyError(f"{self.code}: {act} of {material}")

    def blocked_materials(self, act: str) -> frozenset[str]:
        """Those that may not be dealt in so without a paper."""
        rules = [rule for rule in self.rules if act in rule.acts and rule.without == BLOCKED]
        return frozenset(material for rule in rules for material in rule.materials)

    def papers_to(self, act: str) -> frozenset[str]:
        """The papers that open what is blocked without; "" is one whose kind nobody wrote down."""
        rules = [rule for rule in self.rules if act in rule.acts and rule.without == BLOCKED]
        return frozenset({"", *(paper for rule in rules for paper in rule.papers)})

    def day_limits(self, act: str) -> tuple[Condition, ...]:
        return tuple(each for each in self.conditions if each.kind == "made_before" and act in each.acts)


@dataclass(frozen=True)
class Known:
    """What is known of one instrument: the papers that stand, its date, how much ivory there is.

    A paper of kind "" is one whose kind nobody wrote down: it does for whatever needs one, but no border.
    `made` is EDTF, `documented` whether more than style or hearsay stands behind it; `added` is when ivory
    that was added later was taken from the wild. `share` and `mass_g` are None while nobody measured.
    """

    papers: frozenset[str] = field(default_factory=frozenset)
    lacking: str = LACKING
    certificate: bool = False
    made: str = ""
    documented: bool = False
    added: str = ""
    share: Decimal | None = None
    mass_g: Decimal | None = None


@dataclass(frozen=True)
class Verdict:
    level: str
    sentence: str
    source: str
    read_as_of: str

    @property
    def word(self) -> str:
        return LEVELS[self.level]

    @property
    def with_caution(self) -> str:
        return f"{self.sentence} {CAUTION}"


def verdict_on(law: Law, material: str, act: str, known: Known) -> Verdict:
    """Blocked, cautioned or free, with why: what was found, what the law asks, what its date shows.

    `material` is one of the table's or one that counts as such; KeyError for anything else.
    """
    counts_as = COUNTS_AS.get(material, material)
    rule = law.rule(counts_as, act)
    has_paper = bool(rule.papers & known.papers) or ("" in known.papers and bool(rule.papers - {PERMIT}))
    needs_paper = rule.without == BLOCKED and not has_paper
    lacking = "no permit is on file" if rule.papers == {PERMIT} else known.lacking
    level = rule.with_ if has_paper else rule.without
    found = f"{FINDINGS[material]}, and {lacking}." if needs_paper else f"{FINDINGS[material]}."
    said = rule.with_sentence if has_paper else rule.sentence
    sentences = [found, said]
    if has_paper or material != UNSETTLED:
        for worse, sentence in _conditions_not_met(law, counts_as, act, known):
            sentences.append(sentence)
            level = min(level, worse, key=list(LEVELS).index)
    return Verdict(level, " ".join(filter(None, sentences)), rule.source, rule.read_as_of)


def _conditions_not_met(law: Law, material: str, act: str, known: Known) -> Iterator[tuple[str, str]]:
    """Level and sentence of each condition that fails or is not shown; of several days only the first."""
    a_day_was_told = False
    for each in law.conditions:
        is_day = each.kind == "made_before"
        if material not in each.materials or act not in each.acts or (is_day and a_day_was_told):
            continue
        met = _is_met(each, known)
        if met is False:
            yield each.fails, each.fails_sentence
        elif met is None and each.unproven_sentence:
            yield CAUTIONED, each.unproven_sentence
        a_day_was_told |= is_day and not met


def _is_met(condition: Condition, known: Known) -> bool | None:
    """True, False, or None while it is not shown."""
    if condition.unless_certificate and known.certificate:
        return True
    match condition.kind:
        case "made_before":
            return _is_old_enough(condition, known)
        case "share_below":
            return None if known.share is None else known.share < condition.limit
    return None if known.mass_g is None else known.mass_g < condition.limit


def _is_old_enough(condition: Condition, known: Known) -> bool | None:
    """A date whose every day is after the limit fails however it is hedged; what only may be before proves
    nothing."""
    dates = [known.made, *([known.added] if condition.counts_added and known.added else [])]
    if any(begins_on_or_after(each, condition.limit) for each in dates):
        return False
    proofs = [made_before(each, condition.limit, documented=known.documented) for each in dates]
    return True if all(proofs) else None


def begins_on_or_after(dated: str, limit: date) -> bool:
    earliest = bounds(dated)[0] if dated else None
    return earliest is not None and earliest >= limit


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The one that stands most in the way; ValueError of none."""
    return min(verdicts, key=lambda each: list(LEVELS).index(each.level))
