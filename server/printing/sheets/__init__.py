"""The sheets, a module and a Typst template each. A sheet is a frozen dataclass of plain texts."""
