"""Bar 28: requests made by chance against gunicorn, and what its log keeps of secrets."""

import random
import re
from urllib.parse import quote

from tests.trust.board import Figure, measures

REQUESTS_LONG, REQUESTS_SHORT, REQUESTS_WITHOUT = 10_000, 2_000, 200
CLUMSY = "tests.trust.open_door:clumsy()"
PASSWORD = "canary-of-a-password-81"
METHODS = ("GET", "GET", "GET", "POST", "POST", "HEAD", "OPTIONS", "PUT", "PATCH", "DELETE", "TRACE", "X")
KINDS = (
    "application/x-www-form-urlencoded",
    "multipart/form-data; boundary=x",
    "multipart/form-data",
    "application/json",
    "text/plain; charset=utf-7",
    "application/x-www-form-urlencoded; charset=nonsense",
)
HEADS = (
    ("Accept-Language", ("xx", "en-gb;q=9e9", "*" * 300)),
    ("Accept-Encoding", ("br, gzip", "identity;q=0", "x")),
    ("Range", ("bytes=0-", "bytes=-1", "bytes=9-1", "bytes=0-99999999999999999999", "lines=1-2")),
    ("If-Modified-Since", ("yesterday", "Thu, 01 Jan 1970 00:00:00 GMT", "Thu, 99 Foo 9999 00:00:00 GMT")),
    ("If-None-Match", ('"x"', "*", "W/" * 90)),
    ("HX-Request", ("true", "\u00ff")),
    ("HX-Current-URL", ("javascript:1", "http://[", "//evil.invalid")),
    ("HX-Target", ("<b>", "x" * 900)),
    ("Host", ("localhost", "evil.invalid", "127.0.0.1:99999", "[::1")),
    ("Referer", ("http://evil.invalid/", "\u00e9", "http://[")),
    ("Origin", ("null", "http://evil.invalid")),
    ("X-Forwarded-For", ("1.2.3.4, x", "999.1.1.1", "")),
    ("X-Forwarded-Host", ("evil.invalid",)),
    ("X-Forwarded-Proto", ("https", "gopher")),
    ("X-Outbox", ("yes", "1", "<b>")),
    ("Cookie", ("sessionid=nonsense", "csrftoken=", ";;;=", "messages=x; sessionid=" + "a" * 3000)),
    ("Content-Length", ("-1", "nonsense")),
)


@measures(28)
def fuzz(long: bool) -> Figure:
    from tests.trust.hostile_shop import hostile_shop

    with hostile_shop() as shop:
        from tests.concurrency.served import served

        with served(shop.folder) as server:
            seen = thrown(server, shop, REQUESTS_LONG if long else REQUESTS_SHORT)
        with served(shop.folder, door=CLUMSY) as server:
            without = thrown(server, shop, REQUESTS_WITHOUT)
    met = not seen["faults"] and not seen["secrets"] and not seen["tracebacks"]
    said = (
        f"{seen['sent']} requests, answers {seen['answers']}: {len(seen['faults'])} faults "
        f"{seen['faults'][:2]}, {seen['tracebacks']} tracebacks, secrets in the log: {seen['secrets']}"
    )
    control = (
        f"numbers read without care, cookies written down: {len(without['faults'])} faults of "
        f"{without['sent']}, secrets in the log: {without['secrets']}"
    )
    return Figure(said, met, control)


def thrown(server, shop, count: int) -> dict:
    """Send so many, a third of them by nobody; what came back, and what stands in the log then."""
    from collections import Counter

    from django.conf import settings

    from tests.trust.line import Line, awake

    awake(server)
    chance = random.Random(f"{count} by chance")
    owner, nobody = Line(server.port, shop.session), Line(server.port)
    begun = server.log.stat().st_size
    answers, faults = Counter(), []
    requests = Requests(chance, shop)
    for _ in range(count):
        line = nobody if chance.random() < 0.33 else owner
        method, address, body, heads = requests.one(line.token)
        said = line.send(method, address, body, heads)
        if not said.status:  # a line that nobody used for two seconds is closed: a browser takes another
            said = line.send(method, address, body, heads)
        answers[said.status] += 1
        if not said.status or (said.status >= 500 and said.status not in NOT_OURS):
            faults.append(f"{said.status} {method} {address[:120]} {heads} {body[:120]!r}")
    told = server.log.read_bytes()[begun:].decode(errors="replace")
    secrets = {
        "key": settings.SECRET_KEY,
        "session": shop.session,
        "password": PASSWORD,
        "address that lets files in": shop.world.link.token,
        "history": shop.world.history.token,
        "address to be told no more": shop.world.no_more,
        "CSRF token": owner.token,
    }
    return {
        "sent": count,
        "answers": dict(sorted(answers.items())),
        "faults": faults,
        "tracebacks": told.count("Traceback (most recent call last)") + told.count('"level": "error"'),
        "secrets": [name for name, secret in secrets.items() if secret in told],
    }


NOT_OURS = {501, 505}  # gunicorn's own answers to what is no HTTP


class Requests:
    """Right addresses and wrong ones, forms half right, heads and bodies of nonsense."""

    def __init__(self, chance: random.Random, shop):
        from tests.journeys import nonsense
        from tests.journeys.form_walk import page_addresses

        self.chance = chance
        self.nonsense = [text.encode("utf-8", "replace").decode() for text in nonsense.EVERYTHING]
        pages = page_addresses(shop.world)
        self.pages = [each for each in pages if "logout" not in each]
        self.forms = [(form, nonsense.all_good(form)) for form in shop.forms if "logout" not in form.action]

    def one(self, token: str) -> tuple[str, str, bytes, dict[str, str]]:
        chance, how = self.chance, self.chance.randrange(4)
        heads = {name: chance.choice(texts) for name, texts in chance.sample(HEADS, chance.randrange(4))}
        heads = {name: text.encode("latin-1", "replace").decode("latin-1") for name, text in heads.items()}
        if how == 0:
            return self._form(token, heads)
        address = chance.choice(self.pages)
        if how == 1:
            address = self._wrong(address)
        query = "&".join(
            f"{chance.choice(('page', 'q', 'sort', 'state', 'next', 'from', 'to', 'a[]', ''))}={self._text()}"
            for _ in range(chance.randrange(4))
        )
        method = chance.choice(METHODS)
        body = chance.randbytes(chance.randrange(600)) if method in {"POST", "PUT", "PATCH", "X"} else b""
        heads.setdefault("Content-Type", chance.choice(KINDS))
        return method, f"{address}?{query}" if query else address, body, heads

    def _form(self, token: str, heads: dict) -> tuple[str, str, bytes, dict[str, str]]:
        form, good = self.chance.choice(self.forms)
        sent = good | {"csrfmiddlewaretoken": [token], "password": [PASSWORD]}
        for name in self.chance.sample(sorted(sent), min(len(sent), self.chance.randrange(1, 4))):
            if name != "csrfmiddlewaretoken":
                sent[name] = [self.chance.choice(self.nonsense)[:3_000]]
        body = "&".join(f"{quote(name)}={quote(value)}" for name, values in sent.items() for value in values)
        heads = {name: text for name, text in heads.items() if name not in {"Content-Length", "Cookie"}}
        return "POST", form.action, body.encode(), heads | {"Content-Type": KINDS[0]}

    def _wrong(self, address: str) -> str:
        parts = address.split("/")
        parts[self.chance.randrange(1, len(parts))] = self._text()
        return re.sub(r"[\r\n ]", "+", "/".join(parts)) or "/"

    def _text(self) -> str:
        text = self.chance.choice(self.nonsense)[:200]
        return quote(text, safe=self.chance.choice(("", "/", "%<>\"'=;")))
