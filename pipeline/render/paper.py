"""The page on paper: the same HTML with its print style, set by WeasyPrint (an optional extra)."""

from __future__ import annotations

import importlib
from dataclasses import replace

from pipeline.errors import WitnessmarkError
from pipeline.render.documents import html
from pipeline.render.page import Media, Page

_INSTALL = (
    "pip install 'witnessmark[pdf]', and on Debian or Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0; or print log.html from a browser"
)


def pdf(page: Page) -> bytes:
    """The log as PDF, A4 or (American spelling) US Letter.

    Raises:
        WitnessmarkError: the library or the system's text layout libraries are not installed.
    """
    try:
        weasyprint = importlib.import_module("weasyprint")
    except (ImportError, OSError) as error:
        raise WitnessmarkError(f"cannot make a PDF: WeasyPrint is not there; {_INSTALL}") from error
    size = "Letter" if page.log.settings.spelling == "american" else "A4"
    sheet = weasyprint.CSS(string=f"@page {{ size: {size} }}")
    # A paper has no recording beside it, and nothing is fetched: all that the page shows stands in it.
    text = html(replace(page, media=Media()))
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols=["data"])
    written: bytes = weasyprint.HTML(string=text, url_fetcher=fetcher).write_pdf(stylesheets=[sheet])
    return written
