"""What axe does not ask of a page and an eye would see, read off as a browser draws it (look.js).

Edges of fields, marks of the focus, icons, and what tells something in a drawing stand out by 3:1 from what
is around them (WCAG 2.2, 1.4.11). Links among words are underlined, and every status has a word and a second
sign beside its colour (1.4.1). Headings and labels are there, and none twice for different things (2.4.6).
"""

from pathlib import Path

from playwright.sync_api import Page

LEAST_CONTRAST = 3
# What stands before the function is for whoever reads the file.
LOOK = Path(__file__).with_name("look.js").read_text().partition("\n(least)")[2]


def faults_by_eye(page: Page) -> list[str]:
    return page.evaluate(f"(least){LOOK}", LEAST_CONTRAST)
