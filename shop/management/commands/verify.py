from django.core.management.base import BaseCommand, CommandError

from instruments.models import Instrument
from shop.verification import Verification


class Command(BaseCommand):
    help = "Look for what was changed outside the program: chains, kept files, issued words. 1 if any was."

    def add_arguments(self, parser):
        parser.add_argument("--stock", default="", metavar="NUMBER", help="look at this instrument alone")

    def handle(self, *, stock, **options):
        if stock and not Instrument.objects.filter(stock_number=stock).exists():
            raise CommandError(f"There is no instrument {stock}.", returncode=2)
        verification = Verification(stock)
        count = 0
        for fault in verification.faults():
            count += 1
            self.stdout.write(fault)
        if count:
            raise CommandError(f"{count} fault{'s' if count > 1 else ''}.", returncode=1)
        self.stdout.write(f"All as it was written. {_counts(verification.checked)}")


def _counts(checked) -> str:
    words = ", ".join(f"{kind}: {count:,}" for kind, count in checked.items() if count)
    return f"Looked at {words}." if words else "There was nothing to look at."
