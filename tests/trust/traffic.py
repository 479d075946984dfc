"""People at work, as HTTP: they sign in, read a form, press its button, and note what they were told.

Every act has a key of its own by which the rows can be found again. It is written down before it is sent,
and again once its answer was read to the end; what lies between was in flight.
"""

import io
import itertools
import os
import random
import threading
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from http.client import HTTPException
from uuid import uuid4

from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart
from django.urls import reverse
from PIL import Image

from tests.concurrency.callers import Caller, Filled
from tests.journeys.page_forms import forms_on

PASSWORD = "quiet-felt-52"
LINE_FAILED = (HTTPException, OSError)
WEIGHTS = {"pay": 5, "photo": 3, "close": 3, "trial": 1, "sale": 1}
LIGHT = {"note": 1}  # asked for by name alone: a few words at the bench, beside a whole payment
PRICE_MINOR = 900_000_000
WORDS_TO_BE_READ = "messages"


@dataclass
class Act:
    """One press of a button. `status` is of the last answer that was read to its end; 0 is none yet."""

    kind: str
    key: object
    filled: Filled
    status: int = 0
    seconds: float = 0.0

    @property
    def is_acknowledged(self) -> bool:
        return self.status == 302

    def press(self) -> None:
        """Send it, again if need be. A line that fails leaves it in flight."""
        begun = time.monotonic()
        try:
            answer = self.filled.press()
        except LINE_FAILED:
            return
        self.seconds = time.monotonic() - begun
        # The page it leads to shows what was done, and the words are read: unread they would pile up by the
        # hundred, be packed anew with each act, and at last go into the session by a write of their own.
        self.filled.caller.cookies.pop(WORDS_TO_BE_READ, None)
        is_sign_in = answer.location.startswith(reverse("login"))
        self.status = 401 if is_sign_in else answer.status


class PageRefused(Exception):
    """A form could not be opened."""

    def __init__(self, address: str, status: int):
        self.address, self.status = address, status


class Visitor(Caller):
    """Signs in through the form, as everybody does."""

    def __init__(self, port: int, username: str):
        self.port, self.cookies, self.pages = port, {}, {}
        address = reverse("login")
        form = forms_on(self.get(address).page, address)[0]
        fields = form.standing() | {"username": [username], "password": [PASSWORD]}
        answer = Filled(self, address, fields).press()
        assert answer.status == 302, f"{username} could not sign in: {answer.status}"

    def filled_in(self, address: str, **typed) -> Filled:
        page = self.get(address)
        if page.status != 200:
            raise PageRefused(address, page.status)
        form = next(form for form in forms_on(page.page, address) if "form_token" in form.standing())
        return Filled(self, form.action, form.standing() | {name: [text] for name, text in typed.items()})

    def with_page_open(self, address: str, **typed) -> Filled:
        """From a page opened before, as it stands in a tab, with a mark of its own for each sending."""
        if address not in self.pages:
            self.pages[address] = self.filled_in(address)
        page = self.pages[address]
        fields = page.fields | {"form_token": [uuid4().hex]} | {name: [text] for name, text in typed.items()}
        return Filled(self, page.address, fields)


@dataclass(frozen=True)
class WithPhoto(Filled):
    photo: bytes = b""

    def body(self) -> tuple[bytes, str]:
        upload = io.BytesIO(self.photo)
        upload.name = "piano.jpg"
        return encode_multipart(BOUNDARY, self.fields | {"photos": [upload]}), MULTIPART_CONTENT


@dataclass
class Places:
    """What the people work on, by address or key. Each item of `once_only` is worked on once."""

    promises: list[int]
    instruments: list[str]
    an_item: int
    once_only: dict[str, list] = field(default_factory=lambda: defaultdict(list))
    people: list[int] = field(default_factory=list)


class Traffic:
    """So many visitors who work until they are told to stop. `acts` holds all they ever did."""

    def __init__(
        self,
        usernames: list[str],
        places: Places,
        kinds: tuple[str, ...] = tuple(WEIGHTS),
        visitor: type[Visitor] = Visitor,
    ):
        self.usernames, self.places, self.kinds, self.visitor = usernames, places, kinds, visitor
        self.visitors: list[Visitor] = []
        self.acts: list[Act] = []
        self.lock, self.pennies = threading.Lock(), itertools.count(101)
        self.first_answer, self.stopped = threading.Event(), threading.Event()
        self.troubles: list[str] = []
        self.threads: list[threading.Thread] = []
        self.on_acknowledged: Callable[[Act], None] = lambda act: None

    def begin(self, port: int) -> None:
        if not self.visitors:
            self.visitors = [self.visitor(port, username) for username in self.usernames]
        for visitor in self.visitors:
            visitor.port = port
        self.stopped.clear()
        self.first_answer.clear()
        self.threads = [threading.Thread(target=self._work, args=[each]) for each in self.visitors]
        for thread in self.threads:
            thread.start()

    def end(self) -> None:
        self.stopped.set()
        for thread in self.threads:
            thread.join()

    def _work(self, visitor: Visitor) -> None:
        while not self.stopped.is_set():
            try:
                act = self._act(visitor)
            except LINE_FAILED:
                continue  # a page that was only read
            except PageRefused as error:
                if error.status != 503:
                    self.troubles.append(f"{error.address} was answered {error.status}")
                continue
            if act is None:
                continue
            self.acts.append(act)
            act.press()
            if act.is_acknowledged:
                self.on_acknowledged(act)
            if act.status:
                self.first_answer.set()
                if not act.is_acknowledged and act.status != 503:
                    self.troubles.append(f"{act.kind} {act.key} was answered {act.status}")

    def _act(self, visitor: Visitor) -> Act | None:
        kind = random.choices(self.kinds, [(WEIGHTS | LIGHT)[each] for each in self.kinds])[0]
        key, filled = getattr(self, f"_{kind}")(visitor)
        return Act(kind, key, filled) if filled else None

    def _pay(self, visitor: Visitor):
        with self.lock:
            amount = next(self.pennies)
        address = reverse("shop:payment_take", args=[random.choice(self.places.promises)])
        money = f"{amount // 100}.{amount % 100:02}"
        return amount, visitor.with_page_open(address, amount_minor=money, method="card")

    def _photo(self, visitor: Visitor):
        address = reverse("instruments:photos", args=[random.choice(self.places.instruments)])
        filled, photo = visitor.with_page_open(address), noise()
        return sha256(photo).hexdigest(), WithPhoto(visitor, filled.address, filled.fields, photo)

    def _close(self, visitor: Visitor):
        if (pk := self._next("close")) is None:
            return None, None
        page = visitor.with_page_open(
            reverse("workorders:item_close", args=[self.places.an_item]), result="Done, and it returns."
        )
        return pk, Filled(visitor, reverse("workorders:item_close", args=[pk]), page.fields)

    def _note(self, visitor: Visitor):
        with self.lock:
            number = next(self.pennies)
        address = reverse("workorders:item_note", args=[self.places.an_item])
        return number, visitor.with_page_open(address, words=f"Note {number}.")

    def _trial(self, visitor: Visitor):
        if (number := self._next("trial")) is None:
            return None, None
        return number, visitor.filled_in(reverse("shop:trial_start", args=[number]), method="card")

    def _sale(self, visitor: Visitor):
        if (stock_number := self._next("sale")) is None:
            return None, None
        money = {"price_minor": "1800.00", "pay_now_minor": "500.00", "method": "transfer"}
        person = str(random.choice(self.places.people))
        address = reverse("shop:sale_record", args=[stock_number])
        return stock_number, visitor.filled_in(address, person=person, **money)

    def _next(self, kind: str):
        with self.lock:
            left = self.places.once_only[kind]
            return left.pop() if left else None


def noise() -> bytes:
    """A picture that there is only once."""
    painted, target = Image.frombytes("RGB", (48, 32), os.urandom(48 * 32 * 3)), io.BytesIO()
    painted.save(target, "JPEG", quality=90)
    return target.getvalue()
