"""Pages of hostile text in a real browser: whether anything ran, was stopped, or stands ready to run."""

from dataclasses import dataclass, field

from django.urls import reverse

from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.journeys.seen_pages import is_page
from tests.test_access import addresses

LISTEN = """
window.addEventListener('securitypolicyviolation', event => {
  (window.stopped = window.stopped || []).push(`${event.violatedDirective} ${event.blockedURI}`);
});
window.pwn = (...given) => { (window.ran = window.ran || []).push(given.join()); return ''; };
"""
# What has run or was stopped, and every element or attribute that only a text can have brought.
SEEN = """() => {
  const found = [...(window.ran || []).map(which => `ran ${which}`), ...(window.stopped || [])];
  const runs = /^\\s*(javascript|vbscript|data):/i;
  for (const each of document.querySelectorAll('*')) {
    if (each.localName === 'w9') found.push('an element of a text');
    for (const attribute of each.attributes) {
      if (/^on|w9/.test(attribute.name)) found.push(`<${each.localName} ${attribute.name}>`);
      if (/^(href|src|action|formaction|data|srcdoc)$/.test(attribute.name) && runs.test(attribute.value))
        found.push(`${attribute.name}=${attribute.value.slice(0, 40)}`);
    }
  }
  return found;
}"""


@dataclass
class Caught:
    pages: int = 0
    faults: list[str] = field(default_factory=list)


def open_all(context, client, world, names=ACCESS) -> Caught:
    """Open each page among the addresses in the browser; `client` tells which of them are pages."""
    context.add_init_script(LISTEN)
    page, caught = context.new_page(), Caught()
    page.on("dialog", lambda dialog: (caught.faults.append(f"a dialog: {dialog.message}"), dialog.dismiss()))
    for name in names:
        if ACCESS[name][0] == "GET" and name not in {"login", "logout"}:
            path = reverse(name, kwargs=arguments_for(addresses()[name], name, world))
            if is_page(client.get(path)):
                page.goto(path, wait_until="load")
                caught.pages += 1
                caught.faults += [f"{name}: {fault}" for fault in page.evaluate(SEEN)]
    page.close()
    return caught
