"""A handout as one page that fetches nothing, with style sheets for screen and paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from importlib.resources import files
from typing import Any

from theorykit.handouts.block import (
    Bar,
    Block,
    ChartBars,
    Part,
    Picture,
    Pictures,
    Points,
    Steps,
    Table,
    Words,
)
from theorykit.handouts.paper import MARGIN, Sheet

#: Nothing may be fetched.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def web_page(title: str, subtitle: str, parts: Sequence[Part], sheet: Sheet, *, named: bool) -> str:
    """The page."""
    style = (files("theorykit.handouts") / "templates" / "handout.css").read_text(encoding="utf-8")
    wide, high = sheet.size
    sizes = (
        f"@page{{size:{wide:g}pt {high:g}pt;margin:{MARGIN:g}pt}}"
        f":root{{--text:{sheet.text:g}pt;--small:{sheet.text * (1 if sheet.large else 0.85):g}pt;"
        f"--wide:{sheet.width:g}pt}}"
    )
    lines = (
        '<p class="named"><span>Name</span><i></i><span>Date</span><i class="short"></i></p>'
        if named
        else ""
    )
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{sizes}{style}</style></head>"
        f'<body><main><h1 dir="auto">{escape(title)}</h1><p>{escape(subtitle)}</p>{lines}'
        f"{''.join(map(_part, parts))}</main></body></html>\n"
    )


def _part(part: Part) -> str:
    blocks = "".join(_KINDS[type(block)](block) for block in part.blocks)
    return f"<section><h2>{escape(part.heading)}</h2>{blocks}</section>"


def _words(block: Words) -> str:
    kind = ' class="small"' if block.small else ""
    return f"<p{kind}>{escape(block.text)}</p>"


def _points(block: Points) -> str:
    return f"<ul>{''.join(f'<li>{escape(item)}</li>' for item in block.items)}</ul>"


def _picture(block: Picture) -> str:
    caption = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
    hidden = f'role="img" aria-label="{escape(block.alt)}"' if block.alt else 'aria-hidden="true"'
    return (
        f'<figure style="width:{block.width:g}pt">{caption}<div {hidden}>{block.svg}</div></figure>'
    )


def _pictures(block: Pictures) -> str:
    kind = "side" if block.columns else "flow"
    return f'<div class="{kind}">{"".join(map(_picture, block.pictures))}</div>'


def _table(block: Table) -> str:
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in block.heads)
    rows = "".join(
        f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in block.rows
    )
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _chart(block: ChartBars) -> str:
    bars = "".join(map(_bar, block.bars))
    return f'<ol class="chart" style="--columns:{block.columns}">{bars}</ol>'


def _bar(bar: Bar) -> str:
    chords = "".join(
        f"<p><b>{escape(each.chord)}</b> {escape(each.numeral)}<br>"
        f'<span class="{each.verdict}">{escape(each.short)}</span></p>'
        for each in bar.chords
    )
    section = f" <b>{escape(bar.section)}</b>" if bar.section else ""
    grey = ' class="grey"' if any(each.verdict == "switch" for each in bar.chords) else ""
    return f"<li{grey}><small>{bar.number}{section}</small>{chords}</li>"


def _steps(block: Steps) -> str:
    rows = "".join(
        f'<tr><td><i class="box"></i></td><td>{escape(step.length)}</td>'
        f"<td>{escape(step.title)}</td><td>"
        + "".join(
            f'<span class="tempo"><i class="box"></i> {escape(tempo)}</span> '
            for tempo in step.tempos
        )
        + "</td></tr>"
        for step in block.steps
    )
    heads = "".join(
        f'<th scope="col">{head}</th>' for head in ("done", "length", "what", "clean at")
    )
    return f'<table class="steps"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'


_KINDS: dict[type[Block], Callable[[Any], str]] = {
    Words: _words,
    Points: _points,
    Picture: _picture,
    Pictures: _pictures,
    Table: _table,
    ChartBars: _chart,
    Steps: _steps,
}
