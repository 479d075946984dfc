from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connection

from shop import read_only
from shop.backup.manifest import BadBackup
from shop.backup.taking import take_backup, target_for
from shop.db.statistics import keep_statistics


class Command(BaseCommand):
    help = "Write the whole shop, database and files, into one archive while people work. See `restore`."
    requires_system_checks = ()  # a shop that is set up wrongly wants its backup all the more

    def add_arguments(self, parser):
        parser.add_argument("target", type=Path, help="a file that is not there yet, or a folder")
        parser.add_argument(
            "--with-secret-key",
            action="store_true",
            help="put the secret key in too. Left out otherwise: with it, whoever finds the archive can "
            "sign what the shop signs, and without it only logins and sent links end at a restore",
        )
        parser.add_argument(
            "--keep", type=int, metavar="COUNT", help="afterwards leave so many of the newest in the folder"
        )

    def handle(self, *, target, with_secret_key, keep, **options):
        if keep is not None and (keep < 1 or not target.is_dir()):
            raise CommandError("--keep wants a number from 1 on, and a folder.")
        path = target_for(target)
        if not path.parent.is_dir():
            raise CommandError(f"There is no folder {path.parent}.")
        say = self.stderr.write if options["verbosity"] else lambda words: None
        try:
            manifest = take_backup(path, say=say, with_secret_key=with_secret_key)
        except (OSError, DatabaseError, connection.Database.Error, BadBackup) as error:
            raise CommandError(f"No backup was made. {error}") from error
        rows = sum(table.rows for table in manifest.tables.values())
        self.stdout.write(
            f"{path}: {rows:,} rows and {len(manifest.media):,} files, {path.stat().st_size / 1e6:,.1f} MB."
        )
        if manifest.missing:
            self.stdout.write(
                f"{len(manifest.missing):,} files that rows name are not in the store; `manage.py verify` "
                "says whether they were erased or are lost."
            )
        if keep:
            for old in sorted(target.glob("wrestplank-????-??-??-??????.tar"))[:-keep]:
                old.unlink()
                self.stdout.write(f"{old}: let go.")
        self._keep_statistics()

    def _keep_statistics(self):
        """Here because a shop takes a backup every night. What was taken is whole without it."""
        if read_only.reason():
            return
        try:
            keep_statistics()
        except DatabaseError as error:
            self.stderr.write(f"The database could not look at its tables: {error}")
