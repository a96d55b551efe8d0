"""Steps that several tests of the page take."""

from __future__ import annotations

import struct


def enter(tab, server, path: str = "/") -> None:
    tab.goto(server.address)
    tab.goto(server.base + path)
    tab.wait_for_selector("html[data-state=known]")


def brick(left_out: int = 0, boxes: int = 1) -> bytes:
    """Boxes of 20 x 10 x 5 mm, 30 mm apart along y, as a binary STL; the last triangles of the first left out."""
    rows = b""
    for shift in range(0, 30 * boxes, 30):
        p = [(x, y + shift, z) for z in (0, 5) for x, y in ((0, 0), (20, 0), (20, 10), (0, 10))]
        quads = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
        triangles = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))][: 12 if shift else 12 - left_out]
        rows += b"".join(struct.pack("<12fH", 0, 0, 0, *p[a], *p[b], *p[c], 0) for a, b, c in triangles)
    return b"brick".ljust(80) + struct.pack("<I", len(rows) // 50) + rows


def bring_broken(tab) -> None:
    """Bring two boxes, one without one of its sides, and say that their numbers are mm."""
    content = brick(left_out=2, boxes=2)
    tab.locator("#file").set_input_files({"name": "two.stl", "mimeType": "model/stl", "buffer": content})
    tab.get_by_text("if the numbers are mm").click()
    tab.get_by_role("button", name="Look again").click()
    tab.wait_for_selector("#canvas[data-shown='1']")
