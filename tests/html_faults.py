"""Whether a page is HTML as the standard writes it: an independent parser's complaints, and names that miss.

html5lib reads as the WHATWG standard says and notes every place where it had to guess. It knows nothing of
which attribute an element may have, so what most often goes wrong there is looked for by hand.
"""

from collections import Counter
from xml.etree.ElementTree import Element

import html5lib

NAMED_BY = ("for", "aria-describedby", "aria-labelledby", "aria-controls")
OBSOLETE = {"align", "bgcolor", "border", "valign", "hspace", "vspace", "nowrap"}


def faults_of_html(page: str) -> list[str]:
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    tree = parser.parse(page)
    found = [f"line {line}: {code} {words or ''}".rstrip() for (line, _), code, words in parser.errors]
    return found + _ids(tree) + _pictures(tree) + _attributes(tree)


def _ids(tree: Element) -> list[str]:
    ids = Counter(each.get("id") for each in tree.iter() if each.get("id") is not None)
    twice = [f"the id {name!r} stands {count} times" for name, count in ids.items() if count > 1]
    missed = [
        f"{name}={value!r} names nothing"
        for each in tree.iter()
        for name in NAMED_BY
        for value in (each.get(name) or "").split()
        if value not in ids
    ]
    places = [each.get("href", "") for each in tree.iter("a") if each.get("href", "").startswith("#")]
    return (
        twice + missed + [f"{place} leads nowhere" for place in places if place[1:] and place[1:] not in ids]
    )


def _pictures(tree: Element) -> list[str]:
    return [
        f"a picture without {name}"
        for each in tree.iter("img")
        for name in ("src", "alt")
        if each.get(name) is None
    ]


def _attributes(tree: Element) -> list[str]:
    return [
        f"<{each.tag} {name}> is obsolete"
        for each in tree.iter()
        if isinstance(each.tag, str)
        for name in each.attrib
        if name in OBSOLETE
    ]
