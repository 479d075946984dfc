"""The colours of a case, from the words that describe its wood and finish; and steady small variety."""

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from instruments.drawings.shapes import mix

Option = TypeVar("Option")

# What covers the wood comes before the wood itself: "ebonised mahogany" is black.
COVERS = {  # patterns of whole words
    r"ebon\w*": "#2b2725",
    "black": "#2b2725",
    "white": "#e4ddcf",
    "cream": "#dfd2b6",
    "ivory": "#dfd2b6",
    "green": "#4c6155",
    "blue": "#46566a",
    "grey": "#8d8a82",
    "red": "#77332c",
}
WOODS = {
    "rosewood": "#4f2622",
    "mahogany": "#6d3324",
    "walnut": "#613d28",
    "oak": "#8d6740",
    "satinwood": "#b58b54",
    "maple": "#b9905a",
    "birch": "#bb9a68",
    "beech": "#ab8254",
    "cherry": "#7d4a2c",
    "elm": "#86603a",
    "pine": "#b98f58",
    "teak": "#7b5530",
    "ash": "#b09468",
    "amboyna": "#8a4f2a",
    "bamboo": "#a98a52",
}
PLAIN_BROWN = "#66432c"
BRASS = "#b08d4a"
GILT = "#c5a862"
IRON = "#a58a55"
SPRUCE = "#cda66c"


@dataclass(frozen=True)
class Finish:
    face: str
    is_figured: bool
    is_covered: bool

    @property
    def panel(self) -> str:
        return mix(
            self.face, "#c98f5a" if not self.is_covered else "#ffffff", 0.13 if not self.is_covered else 0.07
        )

    @property
    def light(self) -> str:
        return mix(self.face, "#f3d9b0", 0.24)

    @property
    def dark(self) -> str:
        return mix(self.face, "#140d08", 0.28)

    @property
    def deep(self) -> str:
        return mix(self.face, "#0d0805", 0.55)

    @property
    def lettering(self) -> str:
        """Gilt on a dark case, ink on a pale one."""
        return GILT if int(self.face[1:3], 16) < 0xB0 else "#4a3f30"

    @property
    def grain(self) -> str:
        return mix(self.panel, "#2a1408", 0.22)


def finish_of(case_wood: str, case_finish: str) -> Finish:
    wood, cover = case_wood.casefold(), case_finish.casefold()
    figured = any(word in f"{wood} {cover}" for word in ("figur", "burr", "burl", "flam", "quarter"))
    for words, colour in COVERS.items():
        if re.search(rf"\b{words}\b", f"{cover} {wood}"):
            return Finish(colour, is_figured=False, is_covered=True)
    face = next((colour for word, colour in WOODS.items() if word in wood), PLAIN_BROWN)
    return Finish(face, is_figured=figured, is_covered=False)


class Variety:
    """Choices that are always the same for the same seed, and do not disturb one another."""

    def __init__(self, seed: str):
        self.seed = seed

    def pick(self, question: str, options: Sequence[Option]) -> Option:
        return options[self._number(question) % len(options)]

    def between(self, question: str, low: float, high: float) -> float:
        return low + (high - low) * (self._number(question) % 1000) / 999

    def _number(self, question: str) -> int:
        return int.from_bytes(hashlib.sha256(f"{self.seed}|{question}".encode()).digest()[:4], "big")
