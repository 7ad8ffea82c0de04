"""What was measured, as tables of text, so that one run can be read at a glance."""

from dataclasses import dataclass, field


@dataclass
class Figures:
    tables: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)

    def add(self, title, head, *cells):
        """Put a row under a title; the first one also brings the column heads."""
        self.tables.setdefault(title, [head]).append(tuple(str(cell) for cell in cells))

    def __str__(self):
        return "\n\n".join(
            "\n".join([title, *as_columns(rows)]) for title, rows in self.tables.items()
        )


def as_columns(rows):
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        for row in rows
    ]
