from django.core.management.base import BaseCommand, CommandError

from shop import read_only


class Command(BaseCommand):
    help = "Let pages be read and nothing be saved, or end that. Without --begin or --end: say how it stands."

    def add_arguments(self, parser):
        which = parser.add_mutually_exclusive_group()
        which.add_argument("--begin", metavar="WHY", help="words that people read, such as: books are moved")
        which.add_argument("--end", action="store_true", help="saving goes on")

    def handle(self, *, begin, end, **options):
        if begin is not None:
            try:
                read_only.begin(begin)
            except ValueError as error:
                raise CommandError(str(error)) from error
        if end:
            read_only.end()
        why = read_only.reason()
        self.stdout.write(f"Nothing can be saved: {why}." if why else "Saving is possible.")
