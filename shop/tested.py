"""What was said and did not bear testing: what we found instead, without saying it again as if it held."""

from instruments.calc.evidence import Bearing
from instruments.models import Instrument
from instruments.standings import Weighed
from instruments.states import Topic

MOST_NAMED = 4
SUBJECTS = {
    Topic.MADE: "its making",
    Topic.NAMED: "its name",
    Topic.OWNED: "its owners",
    Topic.USED: "who used it",
    Topic.MOVED: "where it stood",
    Topic.REPAIRED: "its repairs",
    Topic.RESTORED: "what was restored",
    Topic.STRINGS: "its strings",
    Topic.HAMMERS: "its hammers",
    Topic.CASE: "its case",
    Topic.KEYS: "its keys",
    Topic.ASSOCIATED: "a person or an event",
    Topic.CONSTRUCTION: "its construction",
}


def tested_sentences(instrument: Instrument, contradicted: list[Weighed]) -> tuple[str, ...]:
    """One for each contradicted statement that the shop would have shown."""
    findings = (
        {f"finding {each.pk}": each for each in instrument.findings.public().with_values()}
        if contradicted
        else {}
    )
    return tuple(_sentence(each, findings) for each in contradicted)


def _sentence(weighed: Weighed, findings: dict) -> str:
    subject = SUBJECTS.get(weighed.statement.topic, "it")
    found = list(dict.fromkeys(filter(None, (_public_words(each, findings) for each in weighed.bearings))))
    what = "; ".join(found[:MOST_NAMED]) or "the evidence is on our file and may be asked for"
    return f"Something was said of {subject} that did not bear testing. What we found instead: {what}."


def _public_words(bearing: Bearing, findings: dict) -> str:
    """Only words that are public already: the library's tell-tales and findings that may be shown."""
    if bearing.side != "against":
        return ""
    if bearing.source.startswith("tell-tale "):
        return _lowered(bearing.note)
    if finding := findings.get(bearing.source):
        note = finding.note or finding.value_words or finding.get_condition_display().lower()
        return f"{finding.get_part_display().lower()}: {note.rstrip('.')}"
    kind = bearing.source.partition(" ")[0]
    return {"weighing": "a weigh-off by us", "report": "a condition report of ours"}.get(kind, "")


def _lowered(words: str) -> str:
    words = words.rstrip(".")
    return words[:1].lower() + words[1:]
