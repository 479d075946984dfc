"""Whether data in a page is what schema.org says such data may be: an independent reader and vocabulary.

The page is read by html5lib, its JSON-LD turned into triples by rdflib, and each triple is held against the
vocabulary that the package `msgspec-schemaorg` carries, generated from schema.org's own files: classes,
which properties each may have, and what each expects. The names that rdflib knows (SDO) hold every word too.
Nothing is fetched: the context is put in by hand, and has to be schema.org's.
"""

import json
import re
from functools import cache
from importlib import import_module
from inspect import get_annotations

import html5lib
from rdflib import RDF, BNode, Graph, Literal, URIRef
from rdflib.namespace import SDO

# By name: the package answers `from msgspec_schemaorg import enums` with itself, without end.
enums, models = import_module("msgspec_schemaorg.enums"), import_module("msgspec_schemaorg.models")
SCHEMA = "https://schema.org/"
PLAIN = {"str": str, "int": int, "float": float, "bool": bool}
DATE = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")
ADDRESS = re.compile(r"https?://[^\s<>\"]+")


def data_in(page: str) -> list[dict]:
    """Every block of JSON-LD, in order."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    blocks = [each for each in tree.iter("script") if each.get("type") == "application/ld+json"]
    return [json.loads(each.text) for each in blocks]


def faults_in(data: dict) -> list[str]:
    """What the vocabulary does not allow, each in a few words; none for data that is right."""
    if data.get("@context") != "https://schema.org":
        return [f"the context is {data.get('@context')!r}"]
    graph = Graph()
    graph.parse(data=json.dumps(data | {"@context": {"@vocab": SCHEMA}}), format="json-ld")
    if not len(graph):
        return ["it says nothing"]
    faults = []
    for subject in set(graph.subjects()):
        names = [_word(each) for each in graph.objects(subject, RDF.type)]
        if len(names) != 1 or _class(names[0]) is None:
            faults.append(f"no class of the vocabulary: {names}")
            continue
        for said, value in graph.predicate_objects(subject):
            if said != RDF.type:
                faults += _faults_of(graph, names[0], _word(said), value)
    return sorted(faults)


def _faults_of(graph: Graph, class_name: str, name: str, value) -> list[str]:
    expected = _expected(class_name, name)
    if not expected or name not in SDO.__annotations__:
        return [f"{class_name} has no {name}"]
    if isinstance(value, BNode | URIRef):
        kinds = {_word(each) for each in graph.objects(value, RDF.type)}
        ancestors = {each.__name__ for kind in kinds if _class(kind) for each in _class(kind).__mro__}
        return [] if ancestors & expected else [f"{class_name}.{name} does not expect {sorted(kinds)}"]
    return [] if _fits(value, expected) else [f"{class_name}.{name} does not expect {str(value)!r:.60}"]


def _fits(value: Literal, expected: set[str]) -> bool:
    plain = value.toPython()
    if any(isinstance(plain, PLAIN[each]) for each in expected & set(PLAIN)):
        return True
    words = str(value)
    if "URL" in expected and ADDRESS.fullmatch(words):
        return True
    if expected & {"date", "datetime"} and DATE.fullmatch(words):
        return True
    return any(_is_member(words, each) for each in expected)


def _is_member(words: str, enumeration: str) -> bool:
    known = _enumerations().get(enumeration)
    return known is not None and words.startswith(SCHEMA) and words.removeprefix(SCHEMA) in known


@cache
def _enumerations() -> dict[str, set[str]]:
    found = {name: getattr(enums, name) for name in dir(enums)}
    return {name: set(each.__members__) for name, each in found.items() if hasattr(each, "__members__")}


def _class(name: str):
    return getattr(models, name, None) if name in SDO.__annotations__ else None


def _expected(class_name: str, name: str) -> set[str]:
    """The names of what a property of a class may hold; none where the class has no such property."""
    for each in _class(class_name).__mro__:
        if words := get_annotations(each).get(name):
            return set(re.findall(r"\w+", str(words))) - {"Union", "List", "None"}
    return set()


def _word(term) -> str:
    return str(term).removeprefix(SCHEMA)
