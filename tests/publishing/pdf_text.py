"""Text of a PDF page, read from its content stream: enough for what our own typesetter writes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pikepdf

_PAIR = re.compile(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>")


def _unicode_map(font: Any) -> dict[int, str]:
    """Glyph code -> text, from the font's ToUnicode table."""
    table: dict[int, str] = {}
    data = font.ToUnicode.read_bytes()
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", data, re.DOTALL):
        for code, text in _PAIR.findall(block):
            table[int(code, 16)] = bytes.fromhex(text.decode()).decode("utf-16-be")
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", data, re.DOTALL):
        for low, high, text in re.findall(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block):
            start = int(text, 16)
            for n in range(int(low, 16), int(high, 16) + 1):
                table[n] = chr(start + n - int(low, 16))
    return table


def _stream_text(stream: Any, resources: Any) -> str:
    maps = {name: _unicode_map(font) for name, font in resources.get("/Font", {}).items()}
    current: dict[int, str] = {}
    out: list[str] = []
    for operands, operator in pikepdf.parse_content_stream(stream):
        name = str(operator)
        if name == "Tf":
            current = maps.get(str(operands[0]), {})
        elif name in {"Tj", "TJ"}:
            parts = operands[0] if name == "TJ" else [operands[0]]
            for part in parts:
                if isinstance(part, pikepdf.String):
                    data = bytes(part)
                    out += [current.get(int.from_bytes(data[n : n + 2]), "?") for n in range(0, len(data), 2)]
        elif name == "ET":
            out.append("\n")
        elif name == "Do":
            form = resources.XObject[str(operands[0])]
            if form.get("/Subtype") == "/Form":
                out.append(_stream_text(form, form.get("/Resources", resources)))
    return "".join(out)


def page_text(page: pikepdf.Page) -> str:
    """Everything written on a page, drawings included, in the order of painting."""
    return _stream_text(page, page.obj.Resources)


def plain(text: str) -> str:
    """Text without the breaks and spaces that typesetting may put anywhere."""
    return re.sub(r"[\s\u00a0\u200b]+", "", text)


def file_text(path: Path) -> str:
    """Text of all pages, without breaks and spaces."""
    with pikepdf.open(path) as pdf:
        return plain("".join(page_text(page) for page in pdf.pages))
