"""The page on paper: the same HTML with its print style, set by WeasyPrint (an optional extra)."""

from __future__ import annotations

import importlib
from dataclasses import replace
from typing import Any

from pipeline.errors import WitnessmarkError
from pipeline.records import Spelling
from pipeline.render.documents import html
from pipeline.render.page import Media, Page

_INSTALL = (
    "pip install 'witnessmark[pdf]', and on Debian or Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0; or print log.html from a browser"
)


def check_paper() -> Any:
    """The library that sets pages on paper.

    Raises:
        WitnessmarkError: it, or the system's text layout libraries, are not installed.
    """
    try:
        return importlib.import_module("weasyprint")
    except (ImportError, OSError) as error:
        raise WitnessmarkError(f"cannot make a PDF: WeasyPrint is not there; {_INSTALL}") from error


def pdf(page: Page) -> bytes:
    """The log as PDF. Raises as `check_paper`."""
    # A paper has no recording beside it.
    return set_on_paper(html(replace(page, media=Media())), page.log.settings.spelling)


def set_on_paper(html_text: str, spelling: Spelling) -> bytes:
    """A page of ours as PDF, on A4 or (American spelling) US Letter. Raises as `check_paper`."""
    weasyprint = check_paper()
    sheet = weasyprint.CSS(string=f"@page {{ size: {'Letter' if spelling == 'american' else 'A4'} }}")
    # Nothing is fetched: all that a page shows stands in it.
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols=["data"])
    written: bytes = weasyprint.HTML(string=html_text, url_fetcher=fetcher).write_pdf(stylesheets=[sheet])
    return written
