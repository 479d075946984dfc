"""A person without a mouse: only keys are pressed, and each place they stop at is looked at.

Wherever Tab stops, the place has to be seen: marked by an outline, inside the window, and covered by nothing
(WCAG 2.2, success criteria 2.1.1, 2.1.2, 2.4.7 and 2.4.11).
"""

from contextlib import nullcontext

from playwright.sync_api import Locator, Page

MOST_STOPS = 400
SEEN = """() => {
  const place = document.activeElement;
  if (!place || place === document.body) return "";
  // A box or dot that is drawn by its label is marked there.
  const around = [place.closest("label"), ...(place.labels || []), place.nextElementSibling];
  const marked = [place, ...around, place.parentElement];
  const drawn = (each) => {
    const style = each && getComputedStyle(each);
    const hasOutline = style && style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0;
    return style && (hasOutline || style.boxShadow !== "none");
  };
  const name = (place.textContent || place.name || place.id || place.localName).trim().slice(0, 40);
  const shown = marked.find(drawn);
  if (!shown) return `${name}: nothing marks it`;
  const box = shown.getBoundingClientRect();
  const x = Math.min(Math.max(box.left + box.width / 2, 0), innerWidth - 1);
  const inside = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
  if (!inside) return `${name}: outside the window`;
  const parts = [0.1, 0.5, 0.9].map((part) => box.top + box.height * part);
  const at = parts.filter((y) => y >= 0 && y < innerHeight);
  const over = at.map((y) => document.elementFromPoint(x, y));
  const own = (each) => each && (shown.contains(each) || each.contains(shown) || place.contains(each));
  if (!over.length || over.some(own)) return "";
  return `${name}: covered by ${over[0].className || over[0].localName}`;
}"""


class Keyboard:
    """Presses keys on `page`; `unseen` gathers the stops that could not be seen."""

    def __init__(self, page: Page):
        self.page, self.unseen, self.stops = page, [], 0

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)

    def reach(self, wanted: Locator) -> None:
        """Tab on, round past the page's end if need be, until `wanted` has the focus."""
        for _ in range(MOST_STOPS):
            if self._stands_at(wanted):
                return
            self.press("Tab")
            self.stops += 1
            if fault := self.page.evaluate(SEEN):
                self.unseen.append(fault)
        raise AssertionError(f"Tab never came to {wanted}")

    def type(self, label: str, text: str) -> None:
        self.reach(self.page.get_by_label(label, exact=True).first)
        self.press("Control+A")
        self.page.keyboard.type(text)

    def type_in(self, name: str, text: str) -> None:
        self.reach(self.page.locator(f"[name={name}]:visible").first)
        self.press("Control+A")
        self.page.keyboard.type(text)

    def choose(self, group: str, value: str) -> None:
        """Arrows move between the dots of a group: Tab comes to the first, or to the one that is chosen."""
        dots = self.page.locator(f"input[type=radio][name={group}]")
        wanted = self.page.locator(f"input[type=radio][name={group}][value='{value}']")
        for _ in range(MOST_STOPS):
            if self._among(dots):
                break
            self.press("Tab")
            self.stops += 1
        if self._stands_at(wanted):
            self.press("Space")
        for _ in range(dots.count()):
            if wanted.is_checked():
                return
            self.press("ArrowDown")
        assert wanted.is_checked(), f"arrows never came to {group}={value}"

    def tick(self, name: str, value: str = "") -> None:
        mine = f"[name={name}]" + (f"[value='{value}']" if value else "")
        self.reach(self.page.locator(mine).first)
        self.press("Space")

    def button(self, name: str, *, leads_on: bool = True) -> None:
        """Come back when the page it leads to is there; one that stays where it is leads nowhere."""
        self.reach(self.page.get_by_role("button", name=name, exact=True).first)
        with self.page.expect_navigation() if leads_on else nullcontext():
            self.press("Enter")

    def link(self, name: str) -> None:
        self.reach(self.page.locator("main").get_by_role("link", name=name).first)
        self.press("Enter")

    def _stands_at(self, wanted: Locator) -> bool:
        return wanted.count() > 0 and wanted.evaluate("each => each === document.activeElement")

    def _among(self, places: Locator) -> bool:
        return places.evaluate_all("all => all.includes(document.activeElement)")
