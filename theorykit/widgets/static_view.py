"""Views that bring their own data: as a notebook keeps them, and as a page brings them to life."""

from __future__ import annotations

import gzip
import html
import json
from base64 import b64encode
from collections.abc import Sequence
from typing import Any


def packed_text(data: Any) -> str:
    """Data as a short text, gzip in base 64: what is much alike shrinks to a third."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return b64encode(gzip.compress(text.encode(), mtime=0)).decode()


def static_view(kind: str, title: str, words: Sequence[str], data: Any) -> str:
    """What a notebook keeps of a view where no kernel runs, and what a page is made from.

    Parameters
    ----------
    kind : {"solo", "figure"}
    title : str
    words : sequence of str
        The same to be read, where nothing brings it to life.
    data : dict
        What the view is drawn from.
    """
    rows = "".join(f"<li>{html.escape(item)}</li>" for item in words)
    return (
        f'<figure class="tk-view" data-view="{kind}">'
        f"<figcaption>{html.escape(title)}</figcaption>"
        f'<ul class="tk-fallback">{rows}</ul>'
        f'<script type="application/json">"{packed_text(data)}"</script></figure>'
    )
