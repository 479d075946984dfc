"""Guards of printed text, taken away one at a time: the walk over hostile texts has to notice each."""

from django.template.base import VariableNode
from django.template.defaultfilters import safe
from django.template.loader import get_template
from reportlab.platypus.paragraph import Paragraph

from instruments import exports
from instruments.documents import text
from instruments.documents.tags import Element


def name_marked_safe(patch) -> None:
    """One name on one page as if its template said `|safe`."""
    nodes = get_template("shop/person_page.html").template.nodelist.get_nodes_by_type(VariableNode)
    for node in nodes:
        if str(node.filter_expression) == "person.name":
            patch.setattr(node.filter_expression, "filters", [(safe, [])])


def cells_past_the_exporter(patch) -> None:
    """Cells as they are typed."""
    patch.setattr(exports, "guarded", lambda words: words)


def words_read_as_markup(patch) -> None:
    """Paragraphs that read what they are given, as ReportLab's own do."""

    class Read(Paragraph):
        element, has_mark = Element("P"), False

        def least_height(self, width):
            return self.style.leading

    patch.setattr(text, "_prose", lambda words, style, kind: Read(words, style))
