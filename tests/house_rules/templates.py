"""What may not stand in a template. Django escapes words; it cannot where words run as code."""

import re
from collections.abc import Iterable
from pathlib import Path

from shop.bound_files import BOUND
from tests.house_rules.imports import APPS
from tests.house_rules.sources import ROOT

LONGEST = 120
FORBIDDEN = {
    "|safe lets words through unescaped": re.compile(r"\|\s*safe(seq)?\b"),
    "escaping is switched off": re.compile(r"{%\s*autoescape\s+off"),
    "hx-on runs as script": re.compile(r"\shx-on[:\w-]*\s*=", re.IGNORECASE),
    "an event attribute runs as script": re.compile(r"<[^>]*\son[a-z]+\s*=", re.IGNORECASE),
    "js: runs as script": re.compile(r"""=\s*["']\s*(js|javascript)\s*:""", re.IGNORECASE),
    "a trigger filter runs as script": re.compile(r"""hx-trigger\s*=\s*["'][^"']*\["""),
    "a style attribute is refused by the policy": re.compile(r"<[^>]*\sstyle\s*=", re.IGNORECASE),
    "a style element is refused by the policy": re.compile(r"<style\b", re.IGNORECASE),
    "a script without src is refused by the policy": re.compile(
        r"<script\b(?![^>]*\ssrc\s*=)", re.IGNORECASE
    ),
    "it reaches for another machine": re.compile(
        r"""(src|srcset|data)\s*=\s*["']\s*(https?:)?//""", re.IGNORECASE
    ),
    "it shows what is in the context": re.compile(r"{%\s*debug\b"),
}
UNQUOTED = re.compile(r"<[^>]*[\w-]\s*=\s*§")
QUOTED = re.compile(r"""=\s*("[^"]*"|'[^']*')""")
COMMENT = re.compile(r"{#.*?#}|{%\s*comment\b.*?%}.*?{%\s*endcomment\s*%}", re.DOTALL)
# So that ">" inside a tag or a variable does not end the element that it stands in.
TEMPLATE_TAG = re.compile(r"{%.*?%}|{{.*?}}", re.DOTALL)
STATIC_FILE = re.compile(r"""{%\s*static\s+["']([^"']+)["']""")
FORM = re.compile(r"<form\b.*?</form>", re.DOTALL | re.IGNORECASE)
PROBLEM = re.compile(
    r"""<li\b[^>]*\bclass="[^"]*\b(blocker|caution)\b[^"]*"[^>]*>(?!\s*{%\s*(if\b.*?%}{%\s*)?icon\b)"""
)
POST = re.compile(r"""<form\b[^>]*method\s*=\s*["']post["']""", re.IGNORECASE)


def project_templates(root: Path = ROOT) -> list[tuple[str, str]]:
    """Name under templates/, and text."""
    folder = root / "templates"
    return [(str(path.relative_to(folder)), path.read_text()) for path in sorted(folder.rglob("*.html"))]


def dangerous_places(templates: Iterable[tuple[str, str]]) -> list[str]:
    breaches = []
    for name, text in templates:
        shown = TEMPLATE_TAG.sub(_without_angles, COMMENT.sub(_blank_lines, text))
        bare = QUOTED.sub(_blank_lines, TEMPLATE_TAG.sub("§", shown))
        searches = [(reason, shown, pattern) for reason, pattern in FORBIDDEN.items()]
        searches.append(("an attribute value stands without quotes", bare, UNQUOTED))
        breaches += [
            f"{name}:{_line(where, found.end())} {reason}"
            for reason, where, pattern in searches
            for found in pattern.finditer(where)
        ]
    return breaches


def forms_without_csrf_token(templates: Iterable[tuple[str, str]]) -> list[str]:
    return [
        f"{name}:{_line(text, form.start())} posts without csrf_token"
        for name, text in templates
        for form in FORM.finditer(text)
        if POST.match(form.group()) and "{% csrf_token %}" not in form.group()
    ]


def problems_by_colour_alone(templates: Iterable[tuple[str, str]]) -> list[str]:
    """Beside its colour and its words what blocks or warns has a sign (WCAG 2.2, 1.4.1)."""
    return [
        f"{name}:{_line(text, found.start())} says {found.group(1)} without an icon"
        for name, text in templates
        for found in PROBLEM.finditer(text)
    ]


def upward_templates(templates: Iterable[tuple[str, str]]) -> list[str]:
    """A page of a lower app that names a page or an address of a higher one."""
    breaches = []
    for name, text in templates:
        app = name.partition("/")[0]
        above = APPS[APPS.index(app) + 1 :] if app in APPS else ()
        for found in re.finditer(rf"""["']({"|".join(above)})[:/][\w:/.#-]+["']""", text) if above else ():
            breaches.append(f"{name}:{_line(text, found.start())} names {found.group()}")
    return breaches


def missing_static_files(templates: Iterable[tuple[str, str]]) -> list[str]:
    """A style or script that is named and not there: the page would be refused whole when served."""
    return [
        f"{name}:{_line(text, found.start())} names {found.group(1)}, which is not there"
        for name, text in templates
        for found in STATIC_FILE.finditer(text)
        if found.group(1) not in BOUND and not (ROOT / "static" / found.group(1)).is_file()
    ]


def overlong_templates(templates: Iterable[tuple[str, str]]) -> list[str]:
    return [
        f"{name} has {count} lines" for name, text in templates if (count := len(text.splitlines())) > LONGEST
    ]


def _line(text: str, position: int) -> int:
    return text.count("\n", 0, position) + 1


def _without_angles(found: re.Match) -> str:
    return found.group().replace("<", " ").replace(">", " ")


def _blank_lines(found: re.Match) -> str:
    return "\n" * found.group().count("\n")
