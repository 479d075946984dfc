"""A canvas that also writes what each mark *is*, so that a paper can be read aloud in its right order.

ReportLab draws ink only. Here every piece of text or picture is drawn inside a numbered mark, and the
marks hang on a tree of elements (Document, H1, P, Table, Figure ...) written into the file's catalogue.
What belongs to no element, such as rules and the foot line, is marked as an artifact and passed over.
"""

from contextlib import contextmanager

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas

from instruments.documents import fonts

LANGUAGE = "en-GB"
TREE = "StructureTree"


class Element:
    """One node of the structure. It joins the tree when something of it is first drawn."""

    def __init__(self, kind: str, *, parent: "Element | None" = None, alt: str = "", scope: str = ""):
        self.kind = kind
        self.parent = parent
        self.alt = alt
        self.scope = scope
        self.children: list[Element | tuple[int, int]] = []  # elements, or (page, mark) pairs
        self.joined = False
        self.name = ""  # under which the file knows it


class TaggedCanvas(Canvas):
    def __init__(self, stream, *, pagesize=A4):
        fonts.prepare()
        super().__init__(
            stream,
            pagesize=pagesize,
            invariant=1,
            pageCompression=1,
            pdfVersion=(1, 7),
            initialFontName=fonts.SANS,
            lang=LANGUAGE,
        )
        self.document_element = Element("Document")
        self.document_element.joined = True
        self._parents = [self.document_element]
        self._owners: list[list[Element]] = [[]]  # of each page: which element each mark belongs to

    @contextmanager
    def tagged(self, element: Element):
        self._anchor(element)
        self._join(element)
        page, mark = len(self._owners) - 1, len(self._owners[-1])
        self._owners[-1].append(element)
        element.children.append((page, mark))
        self._code.append(f"/{element.kind} <</MCID {mark}>> BDC")
        yield
        self._code.append("EMC")

    @contextmanager
    def artifact(self):
        self._code.append("/Artifact BMC")
        yield
        self._code.append("EMC")

    @contextmanager
    def inside(self, element: Element | None):
        """What is drawn in the meantime becomes a child of this element."""
        if element is None:
            yield
            return
        self._anchor(element)
        self._join(element)  # even if nothing is drawn in it: an empty cell still counts as a cell
        self._parents.append(element)
        yield
        self._parents.pop()

    def showPage(self):
        page_name = self._doc.thisPageName()
        super().showPage()
        page = self._doc.idToObject[page_name]
        page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents = len(self._owners) - 1
        page.Tabs = pdfdoc.PDFName("S")
        self._owners.append([])

    def save(self):
        if self._code:
            self.showPage()
        self._write_structure()
        with fonts.one_at_a_time:  # ReportLab reads a font's file with one cursor, shared by all threads
            super().save()

    def _anchor(self, element: Element) -> None:
        """Hang the topmost of its ancestors below whatever is being drawn now."""
        while element.parent is not None:
            element = element.parent
        if element is not self.document_element:
            element.parent = self._parents[-1]

    def _join(self, element: Element) -> None:
        if not element.joined:
            self._join(element.parent)
            element.parent.children.append(element)
            element.joined = True

    def _write_structure(self) -> None:
        document, elements = self._doc, list(_walk(self.document_element))
        for position, element in enumerate(elements):
            element.name = f"StructureElement{position}"
            document.Reference(_Written(element), element.name)
        owners = []
        for page, page_owners in enumerate(self._owners):
            owners += [page, pdfdoc.PDFArray([_to(owner.name) for owner in page_owners])]
        tree = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("StructTreeRoot"),
                "K": _to(self.document_element.name),
                "ParentTree": pdfdoc.PDFDictionary({"Nums": pdfdoc.PDFArray(owners)}),
                "ParentTreeNextKey": len(self._owners),
            }
        )
        document.Reference(tree, TREE)
        catalogue = document.Catalog
        catalogue.StructTreeRoot = tree
        catalogue.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})
        catalogue.ViewerPreferences = pdfdoc.PDFDictionary({"DisplayDocTitle": "true"})


class _Written(pdfdoc.PDFObject):
    """An element as it stands in the file. There are hundreds to a page, so they are written in one go."""

    __RefOnly__ = 1

    def __init__(self, element: Element):
        self.element = element

    def format(self, document) -> bytes:
        element = self.element
        first_page = next((child[0] for child in element.children if isinstance(child, tuple)), None)
        children = " ".join(_child(document, child, first_page) for child in element.children)
        parent = element.parent.name if element.parent else TREE
        parts = [
            f"<< /Type /StructElem /S /{element.kind} /P {_number_of(document, parent)} /K [ {children} ]"
        ]
        if first_page is not None:
            parts.append(f"/Pg {_number_of(document, _page(first_page))}")
        if element.scope:
            parts.append(f"/A << /O /Table /Scope /{element.scope} >>")
        written = " ".join(parts).encode("ascii")
        if element.alt:
            written += b" /Alt " + pdfdoc.PDFString(element.alt).format(document)
        return written + b" >>"


def _walk(element: Element):
    yield element
    for child in element.children:
        if isinstance(child, Element):
            yield from _walk(child)


def _to(name: str):
    return pdfdoc.PDFObjectReference(name)


def _number_of(document, name: str) -> str:
    number, generation = document.idToObjectNumberAndVersion[name]
    return f"{number} {generation} R"


def _child(document, child, first_page: int | None) -> str:
    if isinstance(child, Element):
        return _number_of(document, child.name)
    page, mark = child
    if page == first_page:
        return str(mark)
    return f"<< /Type /MCR /Pg {_number_of(document, _page(page))} /MCID {mark} >>"


def _page(position: int) -> str:
    return f"Page{position + 1}"
