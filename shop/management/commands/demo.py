from datetime import date

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.demo.build import build_demo
from shop.demo.mark import Holding, holding
from shop.demo.papers import write_papers
from shop.demo.people import STAFF
from shop.demo.pictures import PICTURE_PX
from shop.demo.serve import HOST, open_port, pack_files, serve


class Command(BaseCommand):
    help = "Build an invented shop in an empty database and serve it, on this machine only."

    month = ""

    def add_arguments(self, parser):
        parser.add_argument(
            "--no-serve", action="store_true", help="build only, and write the example papers"
        )
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--picture-width", type=int, default=PICTURE_PX, help="of the drawings, in pixels"
        )

    def handle(self, *, no_serve, port, picture_width, **options):
        held = holding()
        if held is Holding.A_SHOP:
            raise CommandError(
                "This database holds a shop that is not the demo, and nothing was changed. "
                "Set WRESTPLANK_DATA to an empty folder, or DATABASE_URL to an empty database."
            )
        call_command("migrate", verbosity=0)
        call_command("prepare_shop", stdout=self.stdout)
        if held is Holding.NOTHING:
            self.stdout.write("Building the demo: drawing its pianos, writing up eighteen months of work.")
            build_demo(today=timezone.localdate(), picture_px=picture_width, report=self.tell_month)
            self.stdout.write("")
        else:
            self.stdout.write("The demo is here already, as it was left.")
        self.tell_logins()
        if no_serve:
            self.write_papers()
        else:
            self.open_shop(port)

    def tell_month(self, day: date):
        if (month := f"{day:%b %Y}") != self.month:
            self.month = month
            self.stdout.write(f" {month}", ending="")
            self.stdout.flush()

    def tell_logins(self):
        self.stdout.write("\nLogins, for this demo only:")
        for person in STAFF:
            self.stdout.write(f"  {person.username:8}{person.password:20}{person.does}")

    def write_papers(self):
        self.stdout.write("\nExample papers:")
        for path in write_papers(settings.DATA_DIR / "papers", on=timezone.localdate()):
            self.stdout.write(f"  {path}")

    def open_shop(self, wanted: int):
        if not settings.COLLECTED:
            self.stdout.write("\nPacking style sheets, scripts and fonts.")
            pack_files()
        port = open_port(wanted)
        if port != wanted:
            self.stdout.write(f"\nPort {wanted} is taken; this one is free.")
        self.stdout.write(f"\nOpen http://{HOST}:{port}/   (Ctrl-C closes the shop)")
        serve(port)
