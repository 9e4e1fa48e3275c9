"""Mends the theme's word search, which takes parts of words for one another where words end in figures.

The theme searches with lunr 2.3, whose set of words joins branches that are the same. It knows them by a text made of
letter and number, letter and number: a branch `2` to 537 reads as two branches, `2` to 5 and `3` to 7. A manual full of
names such as F12 and of figures meets that, and the search then ends with an error (lunr.js, its public issue 503).
"""

from __future__ import annotations

import re

from mkdocs.structure.files import Files

WORKER = re.compile(r"assets/javascripts/workers/search\.\w+\.min\.js")
_JOINED = re.compile(r"(\w)=\1\+(\w)\+(\w)\.id(?=\}return \1)")
"""Where the text is made: `e=e+s+o.id`, whatever the letters."""


def kept_apart(program: str) -> str:
    """The search's program with a mark behind each number, so that no two branches read the same.

    Raises:
        ValueError: the program is another than that which needs the mend

    >>> kept_apart("e=e+s+o.id}return e")
    'e=e+s+o.id+";"}return e'
    """
    mended, found = _JOINED.subn(r'\g<0>+";"', program)
    if found != 1:
        raise ValueError(f"{found} places in the theme's search look like the one to mend")
    return mended


def mend(files: Files) -> None:
    """Puts the mended program in the place of the theme's.

    Raises:
        ValueError: the theme has no such program, or another
    """
    workers = [file for file in files if WORKER.fullmatch(file.src_uri)]
    if len(workers) != 1:
        raise ValueError(f"the theme has {len(workers)} programs for its search")
    workers[0].content_string = kept_apart(workers[0].content_string)
