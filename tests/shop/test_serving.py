"""What a server has done before it forks, so that nobody who comes first waits for it."""

import subprocess
import sys

import pytest
from django.db import OperationalError

from instruments.models.worded import BEFOREHAND
from shop import serving
from shop.serving import load_what_the_first_would_wait_for
from tests.concurrency.served import ROOT

# Run by itself, since other tests load as they go: what a first photograph, a first agreement and a first
# password still load.
LOADED_LATER = """
import io, os, sys
from datetime import date
import django
django.setup()
from django.contrib.auth.hashers import make_password
from django.core.files.base import ContentFile
from PIL import Image
from instruments.photos import prepare_photo
from shop.serving import FIRST_WAITED_FOR
picture = io.BytesIO()
Image.frombytes("RGB", (48, 32), os.urandom(48 * 32 * 3)).save(picture, "JPEG")
for name in FIRST_WAITED_FOR:
    __import__(name)
from instruments.documents.content import Party
from shop.calc.trial_figures import TrialFigures
from shop.documents.clauses import standard_clauses
from shop.documents.trial_agreement import TrialAgreement, TrialInstrument, build_trial_agreement
day = date(2026, 3, 14)
agreement = TrialAgreement(
    number="T26-003", agreed_on=day, starts_on=day, ends_on=date(2026, 4, 25), place="19 Saltmarsh Row",
    shop=Party("Castlemere Pianos"), customer=Party("Wilf Arden"), terms_version="2026-1",
    instrument=TrialInstrument(maker="Halden & Rook", stock_number="26-014"),
    figures=TrialFigures(price_minor=295_000, paid_minor=60_000), clauses=standard_clauses().for_agreement(),
)
before = set(sys.modules)
prepare_photo(ContentFile(picture.getvalue(), name="piano.jpg"))
build_trial_agreement(agreement)
make_password("quiet-felt-52")
ours = ("PIL.", "argon2", "encodings.", "reportlab", "instruments", "shop")
print(sorted(name for name in set(sys.modules) - before if name.startswith(ours)))
"""


@pytest.mark.django_db(transaction=True)
def test_questions_are_put_into_words_before_anybody_asks():
    for each in BEFOREHAND:
        each.cache_clear()
    load_what_the_first_would_wait_for()
    assert {each.cache_info().currsize for each in BEFOREHAND} == {1}


@pytest.mark.django_db(transaction=True)
def test_a_silent_database_keeps_no_server_from_starting(monkeypatch, caplog):
    def silent(vendor):
        raise OperationalError("connection refused")

    monkeypatch.setattr(serving, "BEFOREHAND", [silent])
    load_what_the_first_would_wait_for()
    assert "when they are asked" in caplog.text


def test_the_first_photograph_agreement_and_password_load_nothing_more():
    ran = subprocess.run([sys.executable, "-c", LOADED_LATER], cwd=ROOT, capture_output=True, text=True)
    assert ran.stdout.strip() == "[]", ran.stderr
