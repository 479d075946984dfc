import json
from io import StringIO

import pytest
from django.core.management import call_command

from shop.materials import bill_of_materials
from tests.trust import newest


def test_the_bill_names_what_is_pinned_and_what_that_stands_on():
    bill = bill_of_materials()
    listed = {part["name"]: part["version"] for part in bill["components"]}
    for name in ("django", "pillow", "reportlab", "argon2-cffi"):
        assert listed[name] == newest.pins()[name]
    assert {"argon2-cffi-bindings", "sqlparse", "sqlite"} <= set(listed)  # needed by others, or bundled
    assert "pytest" not in listed
    assert all(
        part.get("purl", "").startswith("pkg:pypi/")
        for part in bill["components"]
        if part["name"] != "sqlite"
    )


def test_one_command_writes_it(tmp_path):
    told = StringIO()
    call_command("bill_of_materials", str(tmp_path / "bom.json"), stdout=told)
    assert json.loads((tmp_path / "bom.json").read_text())["specVersion"] == "1.6"
    assert "packages in" in told.getvalue()


def test_a_pin_that_is_behind_is_told(monkeypatch):
    outdated = json.dumps(
        [{"name": "Pillow", "latest_version": "99.0"}, {"name": "other", "latest_version": "2"}]
    )
    monkeypatch.setattr(
        newest, "pip", lambda *words: outdated if words[0] == "list" else "Django (5.2.99, 5.2.1)"
    )
    seen = newest.look()
    assert (
        seen.behind == {"pillow": "99.0"}
        and seen.behind_beneath == {"other": "2"}
        and seen.newest_django == "5.2.99"
    )


def test_a_registry_that_does_not_answer_is_no_fault(monkeypatch, capsys):
    def silent(*words):
        raise newest.subprocess.TimeoutExpired("pip", 1)

    monkeypatch.setattr(newest, "pip", silent)
    newest.main()
    assert "did not answer" in capsys.readouterr().out


def test_every_pin_is_exact(monkeypatch, tmp_path):
    assert len(newest.pins()) > 30
    (tmp_path / "pyproject.toml").write_text(
        '[project]\ndependencies = ["Django>=5"]\noptional-dependencies = {}\n'
    )
    monkeypatch.setattr(newest, "TREE", tmp_path)
    with pytest.raises(ValueError, match="no exact version"):
        newest.pins()
