"""Tables typed as text: one row a line, cells between bars, header first."""

from __future__ import annotations

Row = dict[str, object]


def rows(text: str, **same: object) -> list[Row]:
    """Turn a table into rows by record field; blank cells are left out.

    Parameters
    ----------
    text : str
        First line: fields. A cell of '"' repeats the one above.
    **same
        Fields that every row has.

    Returns
    -------
    list of dict
    """
    lines = [line for line in text.strip().splitlines() if line.strip()]
    fields = [f.strip() for f in lines[0].split("|")]
    found: list[Row] = []
    for line in lines[1:]:
        cells = [c.strip() for c in line.split("|")]
        if len(cells) != len(fields):
            raise ValueError(f"{len(cells)} cells for {len(fields)} columns: {line}")
        row: Row = dict(same)
        row.update({f: c for f, c in zip(fields, cells, strict=True) if c})
        found.append(row)
    return found
