"""Sheets: shop paper. Each module here is one sheet, named as the command calls it.

A module has `ABOUT`, what the sheet is, and `files(job) -> Iterator[SheetFile]`. It is found by its name.
"""
