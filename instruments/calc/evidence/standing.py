"""Where a claim stands once everything for and against it is weighed.

The scale is our own, so that a technician can do it in the head: a strong piece is 4, a fair one 2, weak
ones together are 1 however many they are. What we saw or measured ourselves, and a document, count as a
strong piece for the claim; a mark in the instrument counts as a fair one, since a hand on the wood may be
anyone's; a word and an inference count as nothing. A side decides when it has twice the other.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from instruments.calc.evidence.claims import STRENGTHS, Bearing, Claim

SUPPORTED, AS_TOLD, OPEN, CONTRADICTED = "supported", "as told", "open", "contradicted"
RISING = (CONTRADICTED, OPEN, AS_TOLD, SUPPORTED)

_POINTS = {"strong": 4, "fair": 2}
_WEAK_TOGETHER = 1
_OWN_POINTS = {"seen": 4, "measured": 4, "document": 4, "mark": 2, "told": 0, "inferred": 0}
_OWN_WORDS = {
    "seen": "we saw it ourselves",
    "measured": "we measured it ourselves",
    "document": "a document says so",
    "mark": "a mark in the instrument says so",
}
_LEAST_FOR, _LEAST_AGAINST = 2, 4


@dataclass(frozen=True, slots=True)
class Standing:
    """`name` is one of RISING; `sentence` tells what decides; `deciding` are the pieces it names."""

    name: str
    sentence: str
    deciding: tuple[Bearing, ...] = ()

    @property
    def rank(self) -> int:
        return RISING.index(self.name)

    @property
    def reason(self) -> str:
        """The sentence without the name, for where the name stands before it."""
        words = self.sentence.partition(": ")[2]
        return words[:1].upper() + words[1:]

    @property
    def may_be_printed(self) -> bool:
        return self.name != CONTRADICTED


def standing(claim: Claim, bearings: Iterable[Bearing]) -> Standing:
    """The standing of a claim, with the reason in one sentence.

    It never rises by evidence against nor falls by evidence for, and the order of pieces means nothing.
    """
    pieces = _each_source_once(bearings)
    for_it = [piece for piece in pieces if piece.side == "for"]
    against = [piece for piece in pieces if piece.side == "against"]
    name = _name(claim.grade, _OWN_POINTS[claim.grade] + _points(for_it), _points(against))
    return Standing(name, _sentence(name, claim, for_it, against), tuple(_deciding(name, for_it, against)))


def _name(grade: str, for_points: int, against_points: int) -> str:
    if for_points >= _LEAST_FOR and for_points >= 2 * against_points:
        return SUPPORTED
    if against_points >= _LEAST_AGAINST and against_points >= 2 * for_points:
        return CONTRADICTED
    return AS_TOLD if grade == "told" and not against_points else OPEN


def _points(pieces: list[Bearing]) -> int:
    deciding = sum(_POINTS.get(_strength(piece), 0) for piece in pieces)
    return deciding + (_WEAK_TOGETHER if any(_strength(piece) == "weak" for piece in pieces) else 0)


def _strength(piece: Bearing) -> str:
    return "weak" if piece.is_hearsay else piece.strength


def _each_source_once(bearings: Iterable[Bearing]) -> list[Bearing]:
    """The strongest piece of each named source on each side, strongest first; what has no source stays."""
    kept, seen = [], set()
    for piece in sorted(bearings, key=_order):
        if piece.source and (piece.side, piece.source) in seen:
            continue
        seen.add((piece.side, piece.source))
        kept.append(piece)
    return kept


def _order(piece: Bearing) -> tuple:
    weight = STRENGTHS.index(_strength(piece)), STRENGTHS.index(piece.strength)
    return *weight, piece.note, piece.source, piece.side, piece.is_hearsay


def _deciding(name: str, for_it: list[Bearing], against: list[Bearing]) -> list[Bearing]:
    if name == SUPPORTED:
        return for_it[:2]
    if name == CONTRADICTED:
        return against[:2]
    return for_it[:1] + against[:1]


def _sentence(name: str, claim: Claim, for_it: list[Bearing], against: list[Bearing]) -> str:
    own = _OWN_WORDS.get(claim.grade, "")
    if name == SUPPORTED:
        grounds = _listed([*([own] if own else []), *map(_words, for_it)])
        return f"Supported: {grounds}, and {_far_less(against) or 'nothing speaks against it'}."
    if name == CONTRADICTED:
        weaker = _listed([*([own] if own else []), *map(_words, for_it)])
        beside = f"that outweighs what speaks for it ({weaker})" if weaker else "nothing speaks for it"
        return f"Contradicted: against it {_stand(against)} {_listed(map(_words, against))}, and {beside}."
    return _undecided(claim, own, for_it, against)


def _undecided(claim: Claim, own: str, for_it: list[Bearing], against: list[Bearing]) -> str:
    supporting = [*([own] if own else []), *map(_words, for_it)]
    if not supporting and not against:
        if claim.grade == "told":
            return "As told: nothing on file speaks for or against it."
        return "Open: we infer it, and nothing on file speaks for or against it."
    if not against:
        name = "As told" if claim.grade == "told" else "Open"
        return f"{name}: {_listed(supporting)} {_leans(for_it)} its way, which does not decide it."
    if not supporting:
        return (
            f"Open: {_listed(map(_words, against))} {_leans(against)} against it, which does not decide it."
        )
    return (
        f"Open: for it {_listed(supporting)}; against it {_listed(map(_words, against))}; neither outweighs."
    )


def _far_less(against: list[Bearing]) -> str:
    return f"what speaks against it ({_listed(map(_words, against))}) weighs far less" if against else ""


def _words(piece: Bearing) -> str:
    note = " ".join(piece.note.split()).rstrip(".;,") or piece.source or "a piece without a note"
    kind = "somebody's word" if piece.is_hearsay else piece.strength
    return f"{note[:120]} ({kind})"


def _listed(words: Iterable[str]) -> str:
    """Three by name; of more, two by name and the rest by number."""
    words = list(words)
    if len(words) > 3:
        return f"{', '.join(words[:2])} and {len(words) - 2} more"
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _leans(pieces: list[Bearing]) -> str:
    return "leans" if len(pieces) == 1 else "lean"


def _stand(pieces: list[Bearing]) -> str:
    return "stands" if len(pieces) == 1 else "stand"
