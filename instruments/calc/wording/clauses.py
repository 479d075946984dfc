"""Free text fitted into a sentence: after "that" where it is a clause, after a colon where it is not."""

import re

_STARTS = {
    "it",
    "its",
    "the",
    "they",
    "this",
    "all",
    "both",
    "some",
    "nobody",
    "somebody",
    "no",
    "one",
    "two",
}
_VERBS = {
    *("was", "were", "is", "are", "has", "had", "have", "did", "does", "came", "belonged", "bought", "stood"),
    *(
        "went",
        "played",
        "lived",
        "got",
        "sold",
        "gave",
        "kept",
        "used",
        "look",
        "looks",
        "seem",
        "seems",
        "show",
    ),
    *("shows", "stayed", "moved", "passed", "cost", "won", "ran", "remained", "spent", "reached", "survived"),
}
_BETWEEN_SENTENCES = re.compile(r"[.!?…]+[”’\"')]*\s+\S")
_OF_THE_SPEAKER = re.compile(
    r"\b(?:[Mm]e|[Mm]y|[Mm]yself|[Ww]e|us|[Oo]ur|[Oo]urs|[Oo]urselves)\b|(?<!\bWar )\bI\b(?![.\d])"
)
_QUOTES = {"“": "‘", "”": "’", "„": "‘", "«": "‘", "»": "’"}


def speaks_for_itself(text: str) -> bool:
    """Whether the words are somebody's own, because they say I, me, my, we, us or our.

    Such words cannot follow "that": "the last owner told us that I bought it" would make it the shop's doing.
    A heuristic: "World War I" and a numeral before a full stop are let pass.
    """
    return bool(_OF_THE_SPEAKER.search(text))


def plain(text: str) -> str:
    """One line, without the stop at its end."""
    return " ".join(text.split()).rstrip(".;: ")


def quoted(text: str) -> str:
    """The words in one pair of double quotation marks; those inside become single, so none ends it early."""
    words = "".join(_QUOTES.get(sign, sign) for sign in plain(text))
    words = re.sub(r'(?<!\S)"', "‘", words).replace('"', "’")
    return f"“{words}”"


def following(lead: str, text: str, remarks: str, tail: str, *, colon_only: bool = False) -> str:
    """A whole sentence of lead, text, remarks in brackets and closing remark.

    Several sentences come last, after a colon, so that the lead and the remark cover all of them.
    """
    words = plain(text)
    closing = f"; {tail}" if tail else ""
    if _BETWEEN_SENTENCES.search(words):
        return f"{lead} the following{remarks}{closing}: {words}."
    clause = None if colon_only else as_clause(words)
    if clause:
        return f"{lead} that {clause}{remarks}{closing}."
    return closed(f"{lead}: {words}{remarks}", tail)


def closed(words: str, tail: str) -> str:
    """The closing remark as a sentence of its own, where a colon or a quotation stands before it."""
    return f"{words}. {tail[:1].upper()}{tail[1:]}." if tail else f"{words}."


def as_clause(words: str) -> str | None:
    """The words as they follow "that", when they begin with a subject and have a verb; None otherwise."""
    first, *rest = words.split()[:9] or [""]
    if first.casefold() not in _STARTS or not any(word.strip(",;").casefold() in _VERBS for word in rest):
        return None
    return first.casefold() + words[len(first) :]
