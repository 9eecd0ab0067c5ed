"""Answers in words, tables, charts and documents; the only place where figures are rounded."""
