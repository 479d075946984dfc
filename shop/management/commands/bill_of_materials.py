import json
from pathlib import Path

from django.core.management.base import BaseCommand

from shop.materials import bill_of_materials


class Command(BaseCommand):
    help = (
        "List every package that the program stands on, as CycloneDX 1.6 (JSON), in a file or on the screen."
    )
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("target", nargs="?", help="the file to write")

    def handle(self, *, target, **options):
        bill = bill_of_materials()
        text = json.dumps(bill, indent=1, ensure_ascii=False)
        if target is None:
            self.stdout.write(text)
            return
        Path(target).write_text(f"{text}\n")
        self.stdout.write(f"{len(bill['components'])} packages in {target}.")
