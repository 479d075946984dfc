"""Other releases of the program, each in a folder of its own: an older one, and what a next one might be."""

import re
import shutil
import subprocess
from pathlib import Path

from tests.trust.board import TREE

NOT_THE_PROGRAM = shutil.ignore_patterns(
    ".git", ".data", ".venv", "__pycache__", ".pytest_cache", ".ruff_cache", ".mypy_cache"
)
NEXT = """from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", {after!r})]
    operations = [{operations}]
"""
# What a next release may do to tables while this one serves: a row that does not name a column has a value.
ADDS = """
        migrations.AddField(
            "payment", "till", models.CharField(max_length=20, db_default="counter", default="counter")
        ),
        migrations.AddField("payment", "slip", models.CharField(max_length=20, null=True)),
        migrations.AddIndex("payment", models.Index(fields=["till", "id"], name="payment_by_till")),
        migrations.CreateModel(
            "Till", [("id", models.BigAutoField(primary_key=True)), ("name", models.CharField(max_length=20))]
        ),
    """
# What it may not: a column that must have a value and has none by itself; a column that is still read.
DEMANDS = 'migrations.AddField("payment", "till", models.CharField(max_length=20, default="counter"))'
TAKES_AWAY = 'migrations.RemoveField("payment", "reference")'


def before_the_newest_change(folder: Path) -> tuple[Path, str]:
    """The program as it was before the newest migration came to it, and its commit.

    Where two that were made side by side met, there may be a commit that no shop could run; it is passed by.
    """
    added = _git("log", "--diff-filter=A", "--format=%h", "--", "*/migrations/0*.py").split()
    for each in added:
        commit = _git("rev-parse", "--short", f"{each}^").strip()
        folder.mkdir()
        packed = subprocess.run(["git", "archive", commit], cwd=TREE, capture_output=True, check=True).stdout
        subprocess.run(["tar", "-x", "-C", str(folder)], input=packed, check=True)
        if all(len(newest_of(path)) == 1 for path in folder.glob("*/migrations")):
            return folder, commit
        shutil.rmtree(folder)
    raise RuntimeError("No migration is found in the history of this copy; is it a shallow one?")


def newest_of(migrations: Path) -> list[str]:
    """Those that no other of the same app stands on: one, where it can be migrated."""
    texts = {path.stem: path.read_text() for path in migrations.glob("0*.py")}
    stood_on = set(re.findall(r"""['"](0\w+)['"]""", "".join(texts.values())))
    return [name for name in texts if name not in stood_on]


def next_release(folder: Path, operations: str) -> Path:
    """This program as it lies here, with one migration more."""
    shutil.copytree(TREE, folder, ignore=NOT_THE_PROGRAM)
    migrations = folder / "shop" / "migrations"
    last = max(path.stem for path in migrations.glob("0*.py"))
    text = NEXT.format(after=last, operations=operations)
    (migrations / f"{int(last[:4]) + 1:04}_what_comes_next.py").write_text(text)
    return folder


def _git(*words: str) -> str:
    return subprocess.run(["git", *words], cwd=TREE, capture_output=True, text=True, check=True).stdout
