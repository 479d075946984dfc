"""Sheets and scripts bound into one file each: what is in them, and how few files a page asks for."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders

from shop.bound_files import BOUND, BoundFiles
from tests import make

STATIC = settings.BASE_DIR / "static"
ASKED_FOR = re.compile(r"""<(?:link rel="(?:stylesheet|preload)"|script)[^>]*? (?:href|src)="([^"]+)\"""")


@pytest.mark.parametrize("name", BOUND)
def test_a_bound_file_has_each_part_whole_and_in_the_order_named(name):
    bound, position = Path(finders.find(name)).read_text(), 0
    for part in BOUND[name]:
        text = (STATIC / part).read_text()
        position = bound.index(text, position) + len(text)
    assert len(bound) == sum(len((STATIC / part).read_text()) + 1 for part in BOUND[name]) - 1


@pytest.fixture
def bench(tmp_path, settings, monkeypatch):
    """One bound file of two parts in a program of its own."""
    settings.BASE_DIR, settings.DATA_DIR = tmp_path, tmp_path / "data"
    (tmp_path / "static").mkdir()
    (tmp_path / "static" / "a.css").write_text("a {}\n")
    (tmp_path / "static" / "b.css").write_text("b {}\n")
    monkeypatch.setattr("shop.bound_files.BOUND", {"css/both.css": ("a.css", "b.css")})
    return tmp_path / "static"


def test_it_is_bound_anew_when_a_part_has_changed(bench):
    finder = BoundFiles()
    assert Path(finder.find("css/both.css")).read_text() == "a {}\n\nb {}\n"
    (bench / "b.css").write_text("c {}\n")
    assert Path(finder.find("css/both.css")).read_text() == "a {}\n\nc {}\n"
    assert finder.find("css/other.css") == [] == finder.find("css/other.css", find_all=True)


def test_all_are_named_to_whoever_packs_them_and_none_left_half_written(bench):
    finder = BoundFiles()
    assert [(name, storage.open(name).read()) for name, storage in finder.list(None)] == [
        ("css/both.css", b"a {}\n\nb {}\n")
    ]
    assert list(finder.list(["*.css"])) == []
    assert [path.name for path in (bench.parent / "data" / "bound" / "css").iterdir()] == ["both.css"]


def test_styles_keep_their_order_by_layers_and_paper_is_only_for_paper():
    """A sheet bound last wins nothing by that: which rule wins is said by the layers, first of all."""
    for name in ("css/pages.css", "css/public.css"):
        bound = re.sub(r"/\*.*?\*/", "", Path(finders.find(name)).read_text(), flags=re.DOTALL)
        assert bound.lstrip().startswith("@layer tokens, type, forms, layout, components, print;")
        assert re.findall(r"^(\S[^{\n]*?) *{", bound[bound.index("@media print") :], re.MULTILINE) == [
            "@media print"
        ]


@pytest.mark.parametrize(("path", "most"), [("/stock/", 6), ("/", 6), ("/window/", 4), ("/ask/", 6)])
def test_a_page_asks_for_few_files(client, owner, path, most):
    make.make_instrument()
    if path in ("/stock/", "/"):
        client.force_login(owner)
    files = ASKED_FOR.findall(client.get(path).content.decode())
    assert len(files) == len(set(files)) and any(name.endswith(".css") for name in files)
    assert 1 + len(files) <= most, files
