from datetime import timedelta

from django.core.management.base import BaseCommand, CommandError
from django.template.defaultfilters import filesizeformat

from shop.stray_files import WAITS_FOR_ITS_ROW, remove, stray_files

MINUTES = int(WAITS_FOR_ITS_ROW.total_seconds()) // 60


class Command(BaseCommand):
    help = (
        "List files that no record names, left where the program was cut off; with --remove, remove them. "
        "(A record without its file is found by verify.)"
    )

    def add_arguments(self, parser):
        parser.add_argument("--remove", action="store_true")
        parser.add_argument(
            "--minutes",
            type=int,
            default=MINUTES,
            help=f"leave alone what is younger: its record may be on the way (usually {MINUTES}; 0 only "
            "while nobody can save)",
        )

    def handle(self, *, minutes, **options):
        removing = options["remove"]
        if minutes < 0:
            raise CommandError("Give a number of minutes, 0 or more.")
        count = byte_count = 0
        for stray in stray_files(older_than=timedelta(minutes=minutes)):
            if removing:
                remove(stray)
            count, byte_count = count + 1, byte_count + stray.byte_count
            self.stdout.write(
                f"{stray.name}, {filesizeformat(stray.byte_count)}, {stray.changed_at:%Y-%m-%d}"
            )
        self.stdout.write(_sum_in_words(count, byte_count, removing))


def _sum_in_words(count: int, byte_count: int, removing: bool) -> str:
    if not count:
        return "Every file is named by a record."
    words = f"{count:,} file{'s' if count > 1 else ''}, {filesizeformat(byte_count)}"
    if removing:
        return f"{words} removed."
    return f"{words} that no record names. With --remove {'they go' if count > 1 else 'it goes'}."
