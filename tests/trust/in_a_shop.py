"""Run the `main` of a module of this package in a process whose Django stands on a shop of its own.

    python -m tests.trust.in_a_shop crash --folder FOLDER --kills 40
    python -m tests.trust.in_a_shop --postgres crash --folder FOLDER --kills 40

The folder holds all there is of it: the SQLite file or a PostgreSQL of its own, media, logs. With `--release`
the tables and what a shop begins with are those of the release that lies in the folder named.
"""

import argparse
import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import django
from django.core.management import call_command

from tests.trust import ready
from tests.trust.board import TREE
from tests.trust.cluster import Cluster


def main() -> None:
    asked = argparse.ArgumentParser(add_help=False)
    asked.add_argument("--postgres", action="store_true")
    asked.add_argument("--folder", type=Path, required=True)
    asked.add_argument("--set", action="append", default=[], help="a line of postgresql.conf")
    asked.add_argument("--release", type=Path, help="a folder")
    given, rest = asked.parse_known_args()
    os.environ["WRESTPLANK_DATA"] = str(given.folder)
    os.environ["DATABASE_URL"] = ""
    other = given.release if given.release and given.release.resolve() != TREE else None
    is_new = not (given.folder / ready.SHOP).exists()  # two runs may follow each other in one shop
    kept = ready.cluster_kept() if given.postgres and not other else None
    is_ready = bool(kept) or (
        not other and not given.postgres and is_new and ready.copy_of_a_shop(given.folder)
    )
    cluster = _cluster(given, kept) if given.postgres else None
    try:
        if other:
            manage(other, "migrate", "--verbosity", "0")
            manage(other, "prepare_shop")
        django.setup()
        if not other and not is_ready:
            _prepare(cluster, is_new)
        # Only now: it asks after models.
        module = import_module(f"tests.trust.{rest.pop(0)}")
        module.main(rest, given.folder, cluster)
    finally:
        if cluster is not None:
            cluster.stop()


def manage(tree: Path, *words: str, **more: str) -> None:
    """`manage.py words` of the release in `tree`, in this environment and `more`."""
    subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=tree,
        env=os.environ | {"PYTHONPATH": str(tree)} | more,
        stdout=sys.stderr,
        check=True,
    )


def _prepare(cluster: Cluster | None, is_new: bool) -> None:
    from django.db import connection

    call_command("migrate", verbosity=0)
    call_command("prepare_shop", stdout=sys.stderr)
    if cluster is not None:
        connection.close()
        ready.keep_cluster(cluster)
    elif is_new and ready.folder():
        ready.keep_sqlite(connection, ready.SHOP)


def _cluster(given, kept: Path | None) -> Cluster:
    told = dict(each.split("=") for each in given.set)
    cluster = Cluster(given.folder / "postgres", copied_from=kept, **told)
    cluster.start()
    os.environ["DATABASE_URL"] = cluster.address("shop") if kept else cluster.create("shop")
    return cluster


if __name__ == "__main__":
    main()
