"""Every address read over rows full of an adversary's text, and what of it is anything but text."""

import csv
import email
import email.policy
import html
import io
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from urllib.parse import unquote

import html5lib
from django.http.response import HttpResponseBase
from django.urls import reverse
from openpyxl import load_workbook
from pypdf import PdfReader

from instruments.calc.cells import unguarded
from instruments.documents.fonts import SANS, SERIF
from instruments.documents.text import printable
from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.reading import shown
from tests.schema_org import data_in
from tests.test_access import addresses
from tests.trust import planting

NEVER_WALKED = {"login", "logout"}
CODE = re.compile(r"(?:<w9>|w9=)(~[0-9a-z]{2})")
RUNS = re.compile(r"^\s*(javascript|vbscript|data|file):", re.IGNORECASE)
OPENS = {"href", "src", "action", "formaction", "data", "xlink:href", "poster", "srcset", "background"}
LIVE = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")


@dataclass
class Found:
    """What a walk saw: faults in words, and which columns were read whole somewhere."""

    faults: list[str] = field(default_factory=list)
    shown: set[str] = field(default_factory=set)
    kinds: Counter = field(default_factory=Counter)


def walk(client, world, turn: int, *, who: str, names=ACCESS, look_at_page=None) -> Found:
    """Ask for each address, print what it offers to print, and look at what comes back.

    At pages with a parser, or as told.
    """
    found = Found()
    looks = LOOKS | ({"text/html": look_at_page} if look_at_page else {})
    texts = texts_of(turn)
    for name in names:
        if ACCESS[name][0] != "GET" or name in NEVER_WALKED:
            continue
        given = arguments_for(addresses()[name], name, world)
        for form in ("csv", "xlsx") if name.endswith("_export") and "form" in given else (None,):
            answer = shown(client, reverse(name, kwargs=given | ({"form": form} if form else {})))
            place = f"turn {turn}, {who}, {name}"
            if answer.status_code >= 500:
                found.faults.append(f"{place}: answered {answer.status_code}")
            elif answer.status_code == 200:
                look_at(answer, place, texts, found, looks)
    return found


def texts_of(turn: int) -> dict[str, str]:
    """Each column's text by its code; of one that no two rows share, what all have."""
    return {
        planting.code_of(each): planting.text_for(each, turn)[
            planting.TOLD_APART if planting.is_told_apart(each) else 0 :
        ]
        for each in planting.typed_columns()
    }


def look_at(answer: HttpResponseBase, place: str, texts: dict[str, str], found: Found, looks) -> None:
    kind = answer.headers.get("Content-Type", "").partition(";")[0]
    body = answer.getvalue()
    if look := looks.get(kind):
        found.kinds[kind] += 1
        look(body, place, texts, found)


def look_at_page(body: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    page = body.decode()
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    for block in data_in(page):
        look_at_words(list(words_of_data(block)), place, texts, found, plain)
    for script in tree.iter("script"):
        script.text = ""
    said = [" ".join(tree.itertext())]
    for each in tree.iter():
        if not isinstance(each.tag, str):
            said.append(each.text or "")
            continue
        if each.tag == "w9" or any("w9" in name or name.startswith("on") for name in each.attrib):
            found.faults.append(f"{place}: text became <{each.tag} {sorted(each.attrib)}>")
        for name, value in each.attrib.items():
            if name in OPENS and RUNS.match(value):
                found.faults.append(f"{place}: {name} opens {value[:60]!r}")
        said += each.attrib.values()
    look_at_words(said, place, texts, found, plain, in_an_address)


def words_of_data(value) -> Iterator[str]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from words_of_data(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from words_of_data(inner)
    elif isinstance(value, str):
        yield value


def look_at_words(said: list[str], place: str, texts: dict[str, str], found: Found, *forms) -> None:
    """Wherever a code stands, the whole of its text stands before it, in one of the forms it may take."""
    apart = {planting.code_of(each) for each in planting.taken_apart(place.rpartition(" ")[2])}
    for words in said:
        if "~" not in words:
            continue
        for form in forms:
            squeezed = form(words)
            missed = [
                match
                for match in CODE.finditer(squeezed)
                if match[1] not in apart and not _ends(squeezed, match.end(), texts, form)
            ]
            if not missed:
                break
        found.faults += [
            f"{place}: {match[1]} is not whole: {squeezed[max(0, match.end() - 60) : match.end()]!r}"
            for match in missed
        ]
        found.shown |= {match[1] for match in CODE.finditer(squeezed)}


def _ends(words: str, end: int, texts: dict[str, str], form) -> bool:
    code = words[end - 3 : end]
    text = _in_form(texts.get(code, ""), form)
    return bool(text) and words[:end].endswith(text)


@cache
def _in_form(text: str, form) -> str:
    return form(text)


def plain(text: str) -> str:
    """Apart from spaces, case and what no page can hold."""
    kept = (sign for sign in text if unicodedata.category(sign)[0] not in "CZ" and not sign.isspace())
    return unicodedata.normalize("NFC", "".join(kept)).casefold()


def in_an_address(text: str) -> str:
    return plain(unquote(text))


def on_paper_sans(text: str) -> str:
    return plain(printable(text, SANS))


def on_paper_serif(text: str) -> str:
    return plain(printable(text, SERIF))


def look_at_paper(pdf: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    reader = PdfReader(io.BytesIO(pdf), strict=True)
    words = []
    for page in reader.pages:
        words.append(page.extract_text())
        for each in page.get("/Annots", []):
            target = str(each.get_object().get("/A", {}).get("/URI", ""))
            if RUNS.match(target) or "example.invalid" in target:
                found.faults.append(f"{place}: a link to {target!r}")
    if any("\u25a0" in each for each in words):
        found.faults.append(f"{place}: a character without a shape")
    look_at_words(["".join(words)], place, texts, found, on_paper_sans, on_paper_serif)


def look_at_lines(body: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    rows = csv.reader(io.StringIO(body.decode("utf-8-sig"), newline=""))
    for cell in (cell for row in rows for cell in row):
        if cell.lstrip(" ").startswith(LIVE) and not _is_number(cell):
            found.faults.append(f"{place}: a live cell {cell[:40]!r}")
        look_at_words([unguarded(cell)], place, texts, found, plain)


def _is_number(cell: str) -> bool:
    return bool(re.fullmatch(r"-?\d+(\.\d+)?", cell))


def look_at_book(body: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    for row in load_workbook(io.BytesIO(body)).active.iter_rows():
        for cell in row:
            if cell.data_type == "f" or cell.hyperlink:
                found.faults.append(f"{place}: a live cell {cell.value!r:.60}")
            if isinstance(cell.value, str):
                look_at_words([cell.value], place, texts, found, plain)


def look_at_calendar(body: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    """RFC 5545: lines unfolded, then commas, semicolons and line ends without their backslash."""
    whole = re.sub(r"\r\n[ \t]", "", body.decode())
    for line in whole.split("\r\n"):
        name, _, value = line.partition(":")
        if name.startswith(("ATTACH", "X-", "w9")) or any(sign in value for sign in "\r\n"):
            found.faults.append(f"{place}: text became a line {line[:60]!r}")
        value = re.sub(r"\\([\\,;nN])", lambda found: " " if found[1] in "nN" else found[1], value)
        look_at_words([value], place, texts, found, plain)


HEADS = {"Subject", "From", "To", "Reply-To", "Date", "Message-ID", "MIME-Version"}
HEADS |= {"Content-Type", "Content-Transfer-Encoding"}


def look_at_letter(letter: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    """Plain text in one piece, under no more heads than we wrote."""
    message = email.message_from_bytes(letter, policy=email.policy.default)
    found.kinds["letter"] += 1
    if more := set(message.keys()) - HEADS:
        found.faults.append(f"{place}: text became a head {more}")
    if message.get_content_type() != "text/plain" or message.is_multipart():
        found.faults.append(f"{place}: no plain letter")
    look_at_words([message.get_content()], place, texts, found, plain)


def skim_page(body: bytes, place: str, texts: dict[str, str], found: Found) -> None:
    """Without a parser, which costs as much as the page: the breach as it is typed stands nowhere."""
    page = SCRIPTS.sub(" ", body.decode())
    for breach in RAW:
        if breach in page:
            at = page.index(breach)
            found.faults.append(f"{place}: not escaped: {page[max(0, at - 80) : at + 20]!r}")
    look_at_words([html.unescape(TAGS.sub(" ", page))], place, texts, found, plain)


RAW = ("<w9>", "\"w9='", "' w9=")
SCRIPTS = re.compile(r"<script\b.*?</script>", re.DOTALL)
TAGS = re.compile(r"<[a-z/!][^<>]*>")
LOOKS = {
    "text/html": look_at_page,
    "application/pdf": look_at_paper,
    "text/csv": look_at_lines,
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": look_at_book,
    "text/calendar": look_at_calendar,
}
