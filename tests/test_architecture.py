"""The project keeps its own house rules. Each rule is shown to go red in tests/house_rules."""

import re

import pytest

from tests.house_rules import imports, lines, templates
from tests.house_rules.sources import ROOT, project_sources

SOURCES = project_sources()
TEMPLATES = templates.project_templates()
RULES_FOR_SOURCES = [
    imports.upward_imports,
    imports.upward_names,
    imports.late_imports,
    imports.impure_calculations,
    imports.layers_upside_down,
    imports.import_cycles,
    lines.doors_gone_round,
    lines.open_ended_forms,
    lines.inexact_money,
    lines.unmarked_uploads,
    lines.views_without_methods,
    lines.overlong,
]
RULES_FOR_TEMPLATES = [
    templates.dangerous_places,
    templates.forms_without_csrf_token,
    templates.problems_by_colour_alone,
    templates.upward_templates,
    templates.missing_static_files,
    templates.overlong_templates,
]


@pytest.mark.parametrize("rule", RULES_FOR_SOURCES, ids=lambda rule: rule.__name__)
def test_sources_keep_the_rule(rule):
    assert rule(SOURCES) == []


@pytest.mark.parametrize("rule", RULES_FOR_TEMPLATES, ids=lambda rule: rule.__name__)
def test_templates_keep_the_rule(rule):
    assert rule(TEMPLATES) == []


def test_rules_look_at_the_whole_project():
    assert {source.app for source in SOURCES} == {"instruments", "workorders", "shop"}
    assert len(SOURCES) > 100
    assert len(TEMPLATES) > 20


def test_settings_fit_on_three_screens():
    assert len((ROOT / "shop" / "settings.py").read_text().splitlines()) <= 150


def test_nothing_unexpected_stands_at_the_top():
    allowed = (
        "README.md DEVELOPERS.md manage.py pyproject.toml shop instruments workorders templates static tests"
    )
    named = {path.name for path in ROOT.iterdir() if not path.name.startswith((".", "__pycache__"))}
    assert named <= {*allowed.split(), "fixtures"}


def test_every_setting_from_the_environment_is_explained():
    named = re.findall(r"""["'](WRESTPLANK_\w+|SECRET_KEY)["']""", "".join(source.text for source in SOURCES))
    explained = re.findall(r"^(\w+)=", (ROOT / ".env.example").read_text(), re.MULTILINE)
    assert set(named) | {"DATABASE_URL"} == set(explained)


def test_tests_are_collected_without_the_extras_that_only_ci_installs():
    texts = {path: path.read_text() for path in (ROOT / "tests").rglob("*.py")}
    early = re.compile(r"^(?:import|from) (?:psycopg|pyvips)\b", re.MULTILINE)
    assert [str(path) for path, text in texts.items() if early.search(text)] == []
    assert early.search("import os\nimport psycopg\n")
