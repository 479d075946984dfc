"""What every answer says of itself, and where a header or an address could turn it."""

import os
import subprocess
import sys
from dataclasses import dataclass, field
from tempfile import TemporaryDirectory

from django.test import Client, override_settings
from django.urls import reverse

from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.test_access import addresses
from tests.trust.access_matrix import Ground
from tests.trust.board import TREE

EVIL_HOSTS = (
    *(
        "evil.example",
        "localhost.evil.example",
        "evil.example:80",
        "127.0.0.1.evil.example",
        "localhost@evil",
    ),
    *(
        "localhost:80@evil.example",
        "localhost evil.example",
        "",
        "[::ffff:1]evil",
        "localhost/evil",
        "ｌocalhost",
    ),
)
WAYS_ELSEWHERE = (
    *("//evil.example", "/\\evil.example", "\\\\evil.example", "https:evil.example", "https://evil.example"),
    *(
        "http:///evil.example",
        "javascript:alert(1)",
        "\x08//evil.example",
        "/\t/evil.example",
        "data:text/html,x",
    ),
    *(" //evil.example", "https://testserver@evil.example", "https://testserver.evil.example"),
)
FORWARDED = {
    "HTTP_X_FORWARDED_HOST": "evil.example",
    "HTTP_X_FORWARDED_SERVER": "evil.example",
    "HTTP_X_FORWARDED_PORT": "666",
    "HTTP_X_ORIGINAL_URL": "/staff/",
    "HTTP_X_REWRITE_URL": "/staff/",
    "HTTP_FORWARDED": "host=evil.example;proto=https",
    "HTTP_X_HTTP_METHOD_OVERRIDE": "DELETE",
}
ON_EVERY_ANSWER = {
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
}
POLICY = (
    "default-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
    "form-action 'self'",
)


@dataclass
class Probed:
    probes: int = 0
    faults: list[str] = field(default_factory=list)

    def count(self, is_well: bool, fault: str) -> None:
        self.probes += 1
        if not is_well:
            self.faults.append(fault)


def check_deploy() -> str:
    """What `check --deploy` prints on the settings of a shop behind HTTPS; empty where all is well."""
    with TemporaryDirectory() as folder:
        env = {
            name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "SECRET_KEY"}
        }
        env |= {"WRESTPLANK_HTTPS": "yes", "WRESTPLANK_HOSTS": "shop.example", "WRESTPLANK_DATA": folder}
        ran = subprocess.run(
            [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
            cwd=TREE,
            env=env,
            capture_output=True,
            text=True,
        )
    return "" if ran.returncode == 0 else ran.stderr


def headers_of_answers(ground: Ground, seen: Probed, names=ACCESS) -> None:
    for role in ("a stranger", "Owner"):
        client = ground.client(role)
        for name in names:
            if ACCESS[name][0] != "GET":
                continue
            answer = client.get(reverse(name, kwargs=arguments_for(addresses()[name], name, ground.world)))
            for header, value in ON_EVERY_ANSWER.items():
                seen.count(answer.get(header) == value, f"{role}, {name}: {header} is {answer.get(header)}")
            kind = answer.get("Content-Type", "")
            is_named = bool(kind) and (not kind.startswith("text/") or "charset=utf-8" in kind.lower())
            seen.count(is_named or not answer.getvalue(), f"{role}, {name}: its kind is {kind!r}")
            keeps_quiet = answer.get("Referrer-Policy") in {"same-origin", "no-referrer"}
            seen.count(keeps_quiet, f"{role}, {name}: it tells others where one was")
            policy = answer.get("Content-Security-Policy", "")
            is_whole = all(part in policy for part in POLICY) or "sandbox" in policy
            seen.count(is_whole and "unsafe" not in policy, f"{role}, {name}: its policy is {policy!r}")
            for cookie in answer.cookies.values():
                if cookie["max-age"] == 0:  # it is taken back, and holds nothing
                    continue
                is_kept = cookie["samesite"] == "Lax" and (cookie["httponly"] or cookie.key == "csrftoken")
                seen.count(is_kept, f"{role}, {name}: cookie {cookie.key} lies open")


def hosts(ground: Ground, seen: Probed) -> None:
    with override_settings(ALLOWED_HOSTS=["localhost", "127.0.0.1", "[::1]"]):
        for name in ("login", "window", "robots", "sitemap", "password_forgotten", "today"):
            for host in EVIL_HOSTS:
                answer = Client(raise_request_exception=False).get(reverse(name), HTTP_HOST=host)
                seen.count(
                    answer.status_code == 400, f"{name} answers {answer.status_code} to the host {host!r}"
                )
    for name in ("login", "window", "sitemap", "robots", "listing_public", "today", "stock"):
        url = reverse(name, kwargs=arguments_for(addresses()[name], name, ground.world))
        for header, value in FORWARDED.items():
            answer = ground.client("a stranger").get(url, **{header: value})
            told = answer.content + repr(dict(answer.headers)).encode()
            is_well = b"evil.example" not in told and b":666" not in told and b"Who signs in" not in told
            seen.count(is_well, f"{name} believes {header}")


def ways_back(ground: Ground, seen: Probed) -> None:
    """`next` at the door, and where a form leads when it is sent by htmx or from a page elsewhere."""
    word = "quiet-felt-52"
    for way in WAYS_ELSEWHERE:
        client = Client(raise_request_exception=False)
        answer = client.post(reverse("login"), {"username": "owner", "password": word, "next": way})
        seen.count(
            answer.get("Location") == reverse("today"), f"next={way!r} leads to {answer.get('Location')}"
        )
        page = client.get(reverse("login"), {"next": way}).content
        seen.count(b"evil" not in page, f"next={way!r} stands on the page")
        for url in ("/own/elsewhere/end/", "/bench/pause/"):
            spoken = {"HTTP_HX_REQUEST": "true", "HTTP_HX_CURRENT_URL": way, "HTTP_REFERER": way}
            answer = ground.client("Owner").post(
                url, {"next": way, "url": way, "back": way}, **_clean(spoken)
            )
            led = " ".join(answer.get(header, "") for header in ("Location", "HX-Redirect", "HX-Location"))
            seen.count("evil" not in led and "script" not in led, f"{url} leads to {led} for {way!r}")


def _clean(headers: dict[str, str]) -> dict[str, str]:
    """No server lets a control sign through in a header."""
    return {name: "".join(sign for sign in value if sign.isprintable()) for name, value in headers.items()}


def cookies_over_https(ground: Ground, seen: Probed) -> None:
    """As the settings of a shop behind HTTPS say: nothing goes out that plain HTTP would carry."""
    https = {"SESSION_COOKIE_SECURE": True, "CSRF_COOKIE_SECURE": True}
    https |= {"SESSION_COOKIE_NAME": "__Host-sessionid", "CSRF_COOKIE_NAME": "__Host-csrftoken"}
    with override_settings(**https):
        client = Client()
        client.get(reverse("login"), secure=True)
        answer = client.post(
            reverse("login"), {"username": "owner", "password": "quiet-felt-52"}, secure=True
        )
        names = {"__Host-sessionid", "__Host-csrftoken", "__Host-seen", "__Secure-known"}
        seen.count(names == set(answer.cookies), f"the cookies are called {sorted(answer.cookies)}")
        for name, cookie in answer.cookies.items():
            seen.count(bool(cookie["secure"]), f"cookie {name} goes over plain HTTP")
            is_ours = not cookie["domain"] and (cookie["path"] == "/" or not name.startswith("__Host-"))
            seen.count(is_ours, f"cookie {name} is no cookie of this host alone")


def header_taken_away(ground: Ground) -> int:
    """What the same look says where the policy is left out and `next` is believed."""
    seen = Probed()
    with override_settings(
        CONTENT_SECURITY_POLICY={"DIRECTIVES": {"default-src": ["'self'", "'unsafe-inline'"]}},
        X_FRAME_OPTIONS="SAMEORIGIN",
    ):
        headers_of_answers(ground, seen, ["window", "stock", "login"])
    return len(seen.faults)
