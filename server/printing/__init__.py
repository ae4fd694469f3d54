"""Sheets of paper: frozen values in, the bytes of a PDF out."""
