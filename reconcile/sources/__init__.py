"""Bytes to pages of text with places: PDF, text, Markdown, captions, sheets, web pages."""

from __future__ import annotations

from reconcile.sources.read import MEDIA, read_source, source_of

__all__ = ["MEDIA", "read_source", "source_of"]
