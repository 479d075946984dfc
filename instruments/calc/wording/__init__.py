"""Words for the public: what a statement may be printed as, and which words run ahead of the evidence."""

from instruments.calc.wording.clauses import speaks_for_itself
from instruments.calc.wording.loaded import TERMS, LoadedWord, Term, loaded_words, names_in, part_backing
from instruments.calc.wording.parts import PART_NAMES
from instruments.calc.wording.sayings import (
    RELATIONS,
    Saying,
    Strength,
    Worded,
    file_sentence,
    public_sentence,
    reads_as,
    sentence_for,
    strength_of,
)

__all__ = [
    "PART_NAMES",
    "RELATIONS",
    "TERMS",
    "LoadedWord",
    "Saying",
    "Strength",
    "Term",
    "Worded",
    "file_sentence",
    "loaded_words",
    "names_in",
    "part_backing",
    "public_sentence",
    "reads_as",
    "sentence_for",
    "speaks_for_itself",
    "strength_of",
]
