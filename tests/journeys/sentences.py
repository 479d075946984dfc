"""Every sentence that people may read in the program: words of templates, and texts in the code."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.house_rules.sources import ROOT

TAG = re.compile(
    r"{#.*?#}|{%\s*comment.*?endcomment\s*%}|<!--.*?-->|<(script|style|svg)\b.*?</\1>", re.DOTALL
)
SPOKEN = re.compile(r'\b(?:aria-label|title|alt|placeholder|data-say|data-confirm)="([^"]*)"')
MARKUP = re.compile(r"<[^>]*>|{{.*?}}|{%.*?%}", re.DOTALL)
APPS = ("instruments", "workorders", "shop")
UNREAD = {"migrations", "demo", "db", "management"}  # told to nobody who uses the pages


def sentences() -> Iterator[tuple[str, str]]:
    """Where each stands, and what it says."""
    for path in sorted((ROOT / "templates").rglob("*.html")):
        for said in of_template(path.read_text()):
            yield str(path.relative_to(ROOT)), said
    for path in (each for app in APPS for each in sorted((ROOT / app).rglob("*.py"))):
        if not UNREAD & set(path.relative_to(ROOT).parts):
            yield from ((str(path.relative_to(ROOT)), said) for said in of_module(path))


def of_template(source: str) -> list[str]:
    shown = TAG.sub(" ", source)
    spoken = [" ".join(MARKUP.sub(" … ", said).split()) for said in SPOKEN.findall(shown)]
    return [*spoken, " ".join(MARKUP.sub(" ", shown).split())]


def of_module(path: Path) -> Iterator[str]:
    """Texts with a space in them; not what only readers of the code see."""
    tree = ast.parse(path.read_text())
    docs = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
    for each in ast.walk(tree):
        is_text = isinstance(each, ast.Constant) and isinstance(each.value, str)
        if is_text and id(each) not in docs and " " in each.value.strip():
            yield " ".join(each.value.split())
