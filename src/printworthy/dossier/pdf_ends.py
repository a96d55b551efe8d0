"""Ends of streams in a PDF that cannot be misread.

The typesetter ends a stream with a line feed. Where the last byte of compressed data happens to be a carriage return,
the two look like one end of line, and the length in the file like one too many: ISO 19005-3, 6.1.7.1 (from memory) is
then broken for a reader that looks back from `endstream`. One carriage return more makes the end of line whole; lengths
stay as they are.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from itertools import pairwise

from printworthy.errors import NotComputed

_END = re.compile(rb"\r(?=\nendstream\nendobj)")
_START = re.compile(rb"startxref\n(\d+)\n%%EOF\s*\Z")
_OFFSET = re.compile(rb"(\d{10}) (\d{5}) n")


def unmistakable(raw: bytes) -> bytes:
    """The file with such ends made whole, its table of offsets moved along. Raises NotComputed where it has no plain
    table at its end."""
    places = [m.end() for m in _END.finditer(raw)]
    if not places:
        return raw
    start = _START.search(raw)
    if start is None or not raw.startswith(b"xref", at := int(start[1])):
        raise NotComputed("the PDF has no plain table of offsets", do="The HTML dossier holds the same")

    def moved(match: re.Match[bytes]) -> bytes:
        offset = int(match[1])
        return b"%010d %s n" % (offset + bisect_left(places, offset), match[2])

    edges = [0, *places, at]
    body = b"\r".join(raw[a:b] for a, b in pairwise(edges))
    table = _OFFSET.sub(moved, raw[at : start.start()])
    return body + table + b"startxref\n%d\n%%%%EOF" % (at + len(places))
