"""The shop's own sentences and their order: plain places filled with facts, and nothing that can run.

A form is text with places, "$maker", and optional stretches in [square brackets], which are left out where
one of their places is empty. Values are put in once and never read for places again.
"""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from instruments.calc.wording import loaded_words

HOUSE_FILE = Path(__file__).resolve().parents[2] / "fixtures" / "listing_sentences.json"
LONGEST_FORM = 300

_PLACE = re.compile(r"\$([a-z_]+)")
_PIECE = re.compile(r"\[([^\[\]]*)\]|\$([a-z_]+)")
_BRACKETED = re.compile(r"\[[^\[\]]*\]")


@dataclass(frozen=True)
class Form:
    """One sentence as it is worded; `places` may stand in it, and one of `keep` has to."""

    code: str
    topic: str
    label: str
    text: str
    places: tuple[str, ...]
    keep: tuple[str, ...] = ()


@dataclass(frozen=True)
class Version:
    """The topics of one text in their order; `most_characters` is None where no length is set."""

    code: str
    label: str
    order: tuple[str, ...]
    most_characters: int | None = None


@dataclass(frozen=True)
class Voice:
    forms: Mapping[str, Form]
    versions: Mapping[str, Version]

    def say(self, code: str, **values: str) -> str:
        """The sentence of that code; "" where a place outside brackets has nothing to fill it."""
        return fill(self.forms[code].text, values)

    def with_forms(self, texts: Mapping[str, str]) -> "Voice":
        forms = {code: replace(form, text=texts.get(code, form.text)) for code, form in self.forms.items()}
        return replace(self, forms=forms)

    def with_versions(self, changed: Mapping[str, tuple[tuple[str, ...], int | None]]) -> "Voice":
        """`changed`: by version, the order of topics and the length."""
        versions = dict(self.versions)
        for code, (order, most) in changed.items():
            versions[code] = replace(versions[code], order=order, most_characters=most)
        return replace(self, versions=versions)


def fill(text: str, values: Mapping[str, str]) -> str:
    """ "Serial $serial[, read $where]." with serial only -> "Serial 31447."; on one line."""
    if any(not values.get(place) for place in required_places(text)):
        return ""

    def put_in(match: re.Match) -> str:
        stretch, place = match.groups()
        if place:
            return str(values.get(place, ""))
        if not all(values.get(each) for each in _PLACE.findall(stretch)):
            return ""
        return _PLACE.sub(lambda inner: str(values[inner.group(1)]), stretch)

    words = " ".join(_PIECE.sub(put_in, text).split())
    return re.sub(r"(?<!\.)\.\.$", ".", words[:1].upper() + words[1:])


def places_in(text: str) -> list[str]:
    return list(dict.fromkeys(_PLACE.findall(text)))


def required_places(text: str) -> list[str]:
    return places_in(_BRACKETED.sub("", text))


def form_faults(form: Form, text: str) -> list[str]:
    """Why this text cannot be the sentence, each with what would do; [] where it can."""
    if unknown := [place for place in places_in(text) if place not in form.places]:
        named, known = _named(unknown), _named(form.places)
        return [f"This sentence cannot fill in {named}. It knows: {known}."]
    faults = []
    if _PLACE.sub("", _BRACKETED.sub("", text)).count("[") or "]" in _BRACKETED.sub("", text):
        faults.append("A square bracket has no partner. Brackets stand in pairs, none inside another.")
    if not required_places(text):
        faults.append(f"Put in at least one of {_named(form.places)} outside brackets: else it says nothing.")
    if form.keep and not any(each.casefold() in text.casefold() for each in form.keep):
        kept = " or ".join(f"“{each.strip()}”" for each in form.keep)
        faults.append(f"Keep {kept} in it, so that it says no more than we know.")
    if re.search(r"\d", text):
        faults.append("It would give the same figure for every instrument. Take the figure out.")
    faults += [
        f"“{word.word}” would be said of every instrument: {word.reason}" for word in loaded_words(text)
    ]
    return faults


def _named(places) -> str:
    return ", ".join(f"${place}" for place in places)


@cache
def house_words(path: Path = HOUSE_FILE) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


@cache
def house_voice(path: Path = HOUSE_FILE) -> Voice:
    """The house's own sentences and order, as shipped."""
    words = house_words(path)
    forms = [
        Form(
            each["code"],
            each["topic"],
            each["label"],
            each["text"],
            tuple(each["places"]),
            tuple(each.get("keep", ())),
        )
        for each in words["sentences"]
    ]
    versions = [
        Version(each["code"], each["label"], tuple(each["order"]), each.get("most_characters"))
        for each in words["versions"]
    ]
    return Voice({each.code: each for each in forms}, {each.code: each for each in versions})


# What a text may have besides the topics of the long one, which has parts of its own for them.
FURTHER_TOPICS = {
    "long": (),
    "print": ("history", "works", "trial"),
    "short": ("history", "works", "faults", "price", "trial", "page"),
    "social": ("history", "works", "faults", "price", "trial", "page"),
}
MUST_STAND = {"short": ("faults",), "social": ("faults",)}
HISTORY_LABEL = "What is said of it, each as we know it"


def topics_of(version: str) -> dict[str, str]:
    """Every topic a version may have, with its label, in the order of the house."""
    labels: dict[str, str] = {"history": HISTORY_LABEL}
    for form in house_voice().forms.values():
        labels.setdefault(form.topic, form.label)
    voice = house_voice()
    allowed = [*voice.versions[version].order, *voice.versions["long"].order, *FURTHER_TOPICS[version]]
    return {topic: labels[topic] for topic in dict.fromkeys(allowed)}


def order_faults(version: str, topics: Sequence[str]) -> list[str]:
    """Why a version cannot have these topics in this order; [] where it can."""
    known = topics_of(version)
    if unknown := [topic for topic in topics if topic not in known]:
        return [f"This text has no topic called {', '.join(unknown)}."]
    if not topics:
        return ["Give at least one topic a place, or the text says nothing."]
    left_out = [known[topic] for topic in MUST_STAND.get(version, ()) if topic not in topics]
    return [f"“{label}” has to stand in it: a buyer may read nothing else." for label in left_out]
