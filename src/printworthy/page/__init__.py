"""The local page: the whole job in a browser on this machine, and for this machine only.

    guard     who may speak to it
    app       its addresses          views, rows   pages and tables       turn, skins   what the viewer draws
    edits     what may be changed    texts, picking, bringing             desk          what all tabs share
    jobs      long work in processes of its own: worker                   runs          the last run, what changed

The page shows what other modules compute and writes the text files that they read; it holds nothing that is not on the
disk.
"""

from printworthy.page.serve import serve

__all__ = ["serve"]
