from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connection

from shop.backup.manifest import BadBackup
from shop.backup.restoring import NotOver, restore_backup
from shop.verification import Verification

UNCHANGED = "Nothing was changed."


class Command(BaseCommand):
    help = "Bring back a whole shop from an archive that `backup` wrote, and look at it as `verify` does."
    requires_system_checks = []  # the tables may not be there yet

    def add_arguments(self, parser):
        parser.add_argument("source", type=Path)
        parser.add_argument("--over", metavar="NAME", help="the name of the shop that is here and goes")

        parser.add_argument(
            "--verify-later", action="store_true", help="do not look at what came back; run `verify` yourself"
        )

    def handle(self, *, source, over, verify_later, **options):
        say = self.stderr.write if options["verbosity"] else lambda words: None
        try:
            restored = restore_backup(source, over=over, say=say)
        except BadBackup as error:
            raise CommandError(f"{source} cannot be restored. {error} {UNCHANGED}") from error
        except NotOver as error:
            raise CommandError(f"{error} {UNCHANGED}") from error
        except (OSError, DatabaseError, connection.Database.Error) as error:
            raise CommandError(
                f"{source} was not restored: {error} The shop is as it was; `manage.py verify` looks at it."
            ) from error
        manifest = restored.manifest
        rows = sum(table.rows for table in manifest.tables.values())
        self.stdout.write(
            f"{manifest.shop or 'The shop'} is back as of {manifest.made_at}: {rows:,} rows and "
            f"{len(manifest.media):,} files. Everybody signs in again."
        )
        for remark in restored.remarks:
            self.stdout.write(remark)
        if restored.migrations_to_run:
            self.stdout.write(
                "It was made by an older Wrestplank. Run `manage.py migrate` and `manage.py prepare_shop`, "
                f"then `manage.py verify`: {len(restored.migrations_to_run)} changes of the tables wait, "
                f"first {restored.migrations_to_run[0]}."
            )
            return
        if verify_later:
            return
        faults = list(Verification().faults())
        for fault in faults:
            self.stdout.write(fault)
        if faults:
            raise CommandError(f"{len(faults)} faults in what came back, the same as in what was kept.")
        self.stdout.write("All as it was written.")
