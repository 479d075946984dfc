"""Tables made once for a run of the board, and copied after.

To migrate an empty database takes a quarter of a minute of the processor, and some sixty harnesses and
controls ask for one. The first of a run does it in earnest and leaves a copy in the folder that
WRESTPLANK_READY names; the others begin from that. The folder is of one run and goes with it, so that nobody
begins from tables of another day. Without it, all is as ever. What measures migrations (bar 15, and the
rolling out of bar 40) runs them itself.
"""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import wraps
from hashlib import sha256
from pathlib import Path
from urllib.parse import urlsplit

FOLDER = "WRESTPLANK_READY"
SHOP = "shop.sqlite3"
SERVERS = "servers"  # a line for each address at which a copy was left as a database


@contextmanager
def kept_for_this_run() -> Iterator[None]:
    """Harnesses in the block, and what they start, share one copy of each kind."""
    with tempfile.TemporaryDirectory(prefix="trust-ready-") as folder:
        Path(folder).chmod(0o755)  # PostgreSQL runs as another user
        before = dict(os.environ)
        os.environ[FOLDER] = folder
        # Whoever installs a shop has it compiled; what is started here is, after the first of each program.
        os.environ["PYTHONPYCACHEPREFIX"] = f"{folder}/compiled"
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        try:
            yield
        finally:
            os.environ.clear()
            os.environ.update(before)
            _drop_left_on_servers(Path(folder))


def folder() -> Path | None:
    return Path(os.environ[FOLDER]) if os.environ.get(FOLDER) else None


def begin_tests_from_a_copy() -> None:
    """Databases that Django makes for tests begin from the copy; the first of them makes it."""
    from django.db.backends.base.creation import BaseDatabaseCreation

    make = BaseDatabaseCreation.create_test_db
    if folder() is not None and not hasattr(make, "__wrapped__"):
        made = wraps(make)(lambda creation, *given, **named: _made(make, creation, *given, **named))
        BaseDatabaseCreation.create_test_db = made


def pytest_configure() -> None:
    """As a plugin of pytest."""
    begin_tests_from_a_copy()


def _made(make, creation, *given, **named):
    from django.core import management

    run, connection = management.call_command, creation.connection
    put_in, keep = WAYS[connection.vendor]

    def instead(name, *words, **options):
        if name != "migrate":
            return run(name, *words, **options)
        if not put_in(connection):
            run(name, *words, **options)
            keep(connection)

    management.call_command = instead
    try:
        return make(creation, *given, **named)
    finally:
        management.call_command = run


def _put_in_sqlite(connection, name: str = "tests.sqlite3") -> bool:
    if not (path := folder() / name).exists():
        return False
    connection.ensure_connection()
    source = type(connection.connection)(path)
    source.backup(connection.connection)
    source.close()
    return True


def keep_sqlite(connection, name: str = "tests.sqlite3") -> None:
    """Whole at once: another may look for it meanwhile."""
    connection.ensure_connection()
    with tempfile.NamedTemporaryFile(dir=folder(), delete=False) as spare:
        copy = type(connection.connection)(spare.name)
        connection.connection.backup(copy)
        copy.close()
    Path(spare.name).chmod(0o644)
    Path(spare.name).replace(folder() / name)


def _put_in_postgres(connection) -> bool:
    with connection._nodb_cursor() as server:
        server.execute("SELECT 1 FROM pg_database WHERE datname = %s", [_template()])
        if server.fetchone() is None:
            return False
        connection.close()
        name = connection.settings_dict["NAME"]
        server.execute(f'DROP DATABASE "{name}"')
        server.execute(f'CREATE DATABASE "{name}" TEMPLATE "{_template()}"')
    return True


def _keep_postgres(connection) -> None:
    connection.close()
    spare = f"{_template()}_{os.getpid()}"
    with connection._nodb_cursor() as server:
        server.execute(f'CREATE DATABASE "{spare}" TEMPLATE "{connection.settings_dict["NAME"]}"')
        with (folder() / SERVERS).open("a") as told:
            told.write(os.environ["DATABASE_URL"] + "\n")
        # Another may have been quicker: then this one is the spare one.
        with suppress(Exception):
            server.execute(f'ALTER DATABASE "{spare}" RENAME TO "{_template()}"')
            return
        server.execute(f'DROP DATABASE "{spare}"')


WAYS = {"sqlite": (_put_in_sqlite, keep_sqlite), "postgresql": (_put_in_postgres, _keep_postgres)}


def _template() -> str:
    return f"trust_ready_{sha256(str(folder()).encode()).hexdigest()[:12]}"


def _drop_left_on_servers(folder: Path) -> None:
    if not (told := folder / SERVERS).exists():
        return
    import psycopg

    name = f"trust_ready_{sha256(str(folder).encode()).hexdigest()[:12]}"
    for address in set(told.read_text().split()):
        with psycopg.connect(urlsplit(address)._replace(path="/postgres").geturl(), autocommit=True) as line:
            line.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')


def copy_of_a_shop(into: Path) -> bool:
    """Lay the file of a shop that is prepared into the folder."""
    path = folder() / SHOP if folder() else None
    if path is None or not path.exists():
        return False
    shutil.copyfile(path, into / SHOP)
    return True


def keep_cluster(cluster) -> None:
    """Ended in order, copied whole, and begun again."""
    if folder() is None or (folder() / "cluster").exists():
        return
    spare = folder() / f"cluster-{os.getpid()}"
    cluster.end()
    subprocess.run(["cp", "-a", str(cluster.folder), str(spare)], check=True)
    with suppress(OSError):
        spare.rename(folder() / "cluster")
    cluster.start()


def cluster_kept() -> Path | None:
    path = folder() / "cluster" if folder() else None
    return path if path is not None and path.exists() else None
