"""The posting forms of a page, read as a browser reads them: where each goes and what it would send."""

from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urlencode, urljoin

BUTTONS = {"submit", "button", "reset", "image"}
MARKS = {"csrfmiddlewaretoken", "form_token"}


@dataclass
class Control:
    name: str
    kind: str  # the input's type, or "select" or "textarea"
    value: str = ""
    choices: list[str] = field(default_factory=list)
    is_chosen: bool = True
    hint: str = ""

    @property
    def is_typed(self) -> bool:
        return self.kind not in {"hidden", "select", "radio", "checkbox", "file", "password"}


@dataclass
class Form:
    action: str
    method: str
    controls: list[Control] = field(default_factory=list)

    @property
    def names(self) -> list[str]:
        """What a person or a script can fill in, each name once, in order."""
        return list(dict.fromkeys(control.name for control in self.controls if control.name not in MARKS))

    def standing(self) -> dict[str, list[str]]:
        """What the form would send if its button were pressed now; files are left out."""
        sent: dict[str, list[str]] = {}
        for control in self.controls:
            if control.is_chosen and control.kind != "file":
                sent.setdefault(control.name, []).append(control.value)
        return sent

    def typed(self) -> dict[str, str]:
        return {control.name: control.value for control in self.controls if control.is_typed}

    def choices_of(self, name: str) -> list[str]:
        return [choice for control in self.controls if control.name == name for choice in control.choices]


class _Reader(HTMLParser):
    def __init__(self, address: str):
        super().__init__(convert_charrefs=True)
        self.address = address
        self.forms: list[Form] = []
        self._form: Form | None = None
        self._into: Control | None = None
        self._in_option = False

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "form" and (given.get("role"), given.get("method")) == ("search", "post"):
            self._form = None  # it only looks: tests/shop/test_looking_for_people.py holds it to that
        elif tag == "form":
            action = urljoin(self.address, given.get("action") or self.address)
            self._form = Form(action, (given.get("method") or "get").lower())
            self.forms.append(self._form)
        elif self._form is not None and tag in {"input", "select", "textarea"} and given.get("name"):
            self._take(tag, given)
        elif tag == "option" and self._into is not None:
            self._into.choices.append(given.get("value") or "")
            if "selected" in given or len(self._into.choices) == 1:
                self._into.value = given.get("value") or ""

    def _take(self, tag: str, given: dict) -> None:
        kind = tag if tag != "input" else given.get("type", "text").lower()
        if kind in BUTTONS:
            return
        takes_figures = given.get("inputmode") in {"decimal", "numeric"}
        hint = "50" if takes_figures else given.get("placeholder") or ""
        control = Control(given["name"], kind, given.get("value") or "", hint=hint)
        if kind in {"radio", "checkbox"}:
            control.value = given.get("value", "on")
            control.choices, control.is_chosen = [control.value], "checked" in given
        self._form.controls.append(control)
        if tag != "input":
            self._into = control

    def handle_data(self, text):
        if self._into is not None and self._into.kind == "textarea":
            self._into.value += text

    def handle_endtag(self, tag):
        if tag in {"select", "textarea"} and self._into is not None:
            if tag == "textarea":
                self._into.value = self._into.value.removeprefix("\r\n").removeprefix("\n")
            self._into = None
        elif tag == "form":
            self._form = None


def forms_on(page: str, address: str) -> list[Form]:
    reader = _Reader(address)
    reader.feed(page)
    reader.close()
    return reader.forms


def encoded(sent: dict[str, list[str]]) -> bytes:
    """As a browser puts it on the wire; what UTF-8 cannot say goes as raw bytes, which a server must bear."""
    return urlencode(sent, doseq=True, encoding="utf-8", errors="surrogatepass").encode("ascii")
