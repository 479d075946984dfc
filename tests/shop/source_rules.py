"""What the source is looked through for: patterns, formats, decodings, script, dead technology.

Each function takes a text and gives what it found; `test_source_rules.py` tries them on the whole program and
on lines that break them.
"""

import ast
import re

PATTERN_CALLS = {"compile", "match", "search", "sub", "subn", "fullmatch", "findall", "finditer", "split"}
DECODING = {"unquote", "unquote_plus", "unquote_to_bytes", "unescape", "parse_qs", "parse_qsl", "urldecode"}
DECODING |= {"b64decode", "urlsafe_b64decode", "a85decode", "literal_eval", "expandvars", "expanduser"}
DEAD = ("<applet", "<object", "<embed", "<frame ", "<frameset", "<param ", "<marquee", "<bgsound", "<keygen")
DEAD += (
    "ActiveXObject",
    "showModalDialog",
    "openDatabase",
    "applicationCache",
    "attachEvent",
    "navigator.plugins",
)
DEAD += (
    "document.write",
    "execCommand",
    "importNode(",
    "XDomainRequest",
    "webkitRequestFileSystem",
    "mimeTypes[",
)
# Writing under a name that is worked out, going through what was inherited, copying what was read.
POLLUTING = (
    (
        r"(?<![=!<>])\b[\w.)]+\[[^\]\"'`]+\]\s*(?:[-+*/|&?]{0,2}=)(?![=>])",
        "a member by a name that is worked out",
    ),
    (r"__proto__|\bsetPrototypeOf\b|__define[GS]etter__|\bconstructor\s*\[", "the prototype itself"),
    (r"\bfor\s*\(\s*(?:const|let|var)\s+\w+\s+in\b", "for … in"),
    (r"\bmerge\(|\bdeepmerge\b|\bextend\(", "a merge"),
)


def loose_patterns(source: str) -> list[str]:
    """Regular expressions with a part that is not written there, named in capitals or escaped."""
    tree = ast.parse(source)
    return [
        f"{node.lineno}: {ast.unparse(node.args[0])}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and ast.unparse(node.func.value) == "re"
        and node.func.attr in PATTERN_CALLS
        and node.args
        and not _is_fixed(node.args[0])
    ] + [
        f"{node.lineno}: {word.arg}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        for word in node.keywords
        if word.arg and word.arg.endswith(("__regex", "__iregex")) and not _is_fixed(word.value)
    ]


def _is_fixed(node: ast.expr) -> bool:
    if isinstance(node, ast.Constant):
        return True
    if isinstance(node, ast.Name):
        return node.id.isupper()
    if isinstance(node, ast.Attribute):
        return node.attr.isupper()
    if isinstance(node, ast.JoinedStr):
        return all(_is_fixed(part.value) for part in node.values if isinstance(part, ast.FormattedValue))
    if isinstance(node, ast.BinOp):
        return _is_fixed(node.left) and _is_fixed(node.right)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "format":
        return all(_is_fixed(each) for each in [node.func.value, *node.args])
    return isinstance(node, ast.Call) and ast.unparse(node.func) == "re.escape"


def loose_formats(source: str) -> list[str]:
    """Format strings that are not written where they are used: `x.format(…)`, `format_map`, `x % (…)`."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in {"format", "format_map", "vformat"} and not _is_written(node.func.value):
                found.append(f"{node.lineno}: {ast.unparse(node.func)}")
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mod):
            is_words = isinstance(node.right, ast.Tuple | ast.Dict | ast.JoinedStr)
            if is_words and not _is_written(node.left):
                found.append(f"{node.lineno}: {ast.unparse(node)}")
    return found


def _is_written(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) or (isinstance(node, ast.Name) and node.id.isupper())


def decodings(source: str) -> list[str]:
    """Calls that take a coding off: Django took off the one of the request, and there is no other."""
    return [
        f"{node.lineno}: {name}"
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        for name in [node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")]
        if name in DECODING
        or (name == "decode" and any("escape" in ast.unparse(each) for each in [*node.args, *node.keywords]))
    ]


def mixed_sources(source: str) -> list[str]:
    """Where what was sent in the body and what stands in the address are asked in one breath."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.BoolOp | ast.BinOp | ast.Dict | ast.IfExp):
            words = ast.unparse(node)
            if "request.POST" in words and "request.GET" in words:
                found.append(f"{node.lineno}: {words}")
        elif isinstance(node, ast.Attribute) and ast.unparse(node) in {"request.REQUEST", "request.body"}:
            found.append(f"{node.lineno}: {ast.unparse(node)}")
    return found


def polluting(script: str) -> list[str]:
    """What could write into the prototype of all objects, in a script of ours."""
    found = []
    for number, line in enumerate(script.splitlines(), 1):
        bare = line.split("//")[0] if "://" not in line else line
        found += [f"{number}: {what}" for pattern, what in POLLUTING if re.search(pattern, bare)]
        found += [
            f"{number}: Object.assign of {each}" for each in _assigned(bare) if not each.startswith("{")
        ]
    return found


def _assigned(line: str) -> list[str]:
    """What each `Object.assign` of a line copies from, without its first argument."""
    found = []
    for call in re.finditer(r"\bObject\.assign\(", line):
        depth, parts = 0, [""]
        for sign in line[call.end() :]:
            depth += (sign in "([{") - (sign in ")]}")
            if depth < 0:
                break
            if sign == "," and not depth:
                parts.append("")
            else:
                parts[-1] += sign
        found += [part.strip() for part in parts[1:]]
    return found


def dead_technology(text: str) -> list[str]:
    """Parts of pages and scripts that browsers gave up or are giving up."""
    return [word for word in DEAD if word.casefold() in text.casefold()]
