"""Small tables for notebooks: escaped, captioned, with header cells that a screen reader names."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def html_table(caption: str, header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """An HTML table whose first column names its rows.

    Parameters
    ----------
    caption : str
    header : sequence of str
        One name for each column.
    rows : iterable of sequence of str
        As many cells each as the header; the first is the row's name.

    Examples
    --------
    >>> print(html_table("G", ["degree", "note"], [["1", "G"]]))
    <table><caption>G</caption>
    <thead><tr><th scope="col">degree</th><th scope="col">note</th></tr></thead>
    <tbody><tr><th scope="row">1</th><td>G</td></tr></tbody></table>
    """
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in header)
    body = "".join(
        f'<tr><th scope="row">{escape(row[0])}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in row[1:])
        + "</tr>"
        for row in rows
    )
    return (
        f"<table><caption>{escape(caption)}</caption>\n"
        f"<thead><tr>{head}</tr></thead>\n<tbody>{body}</tbody></table>"
    )
