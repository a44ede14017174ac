"""The texts of the documents: one function each, from the page to what stands in the file."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from pipeline.render.figures import Figure
from pipeline.render.inert import markdown, plain, plain_text
from pipeline.render.page import Page
from pipeline.render.sentences import STATUSES
from pipeline.resources import resource_folder


@functools.cache
def environment(markup: bool) -> Environment:
    """Templates for HTML (`markup`) or Markdown: every text that is put in has gone through the door of `inert`."""
    env = Environment(
        loader=FileSystemLoader(resource_folder("templates")),
        autoescape=markup,
        finalize=plain,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    env.filters["md"] = markdown
    env.filters["whole"] = whole
    return env


def whole(text: str, figures: Iterable[Figure]) -> Markup:
    """The sentence with its figures marked, so that no line breaks between a number and its unit."""
    told = {plain_text(piece) for fig in figures for piece in (fig.text, *fig.readings)} - {""}
    if not told:
        return escape(plain_text(text))
    # The longest first: "15 N·m" is not a 1 and then "5 N·m".
    pattern = "|".join(re.escape(piece) for piece in sorted(told, key=len, reverse=True))
    parts = re.split(f"({pattern})", plain_text(text))
    marked = Markup('<span class="fig">{}</span>')
    return Markup("").join(marked.format(part) if place % 2 else escape(part) for place, part in enumerate(parts))


def html(page: Page) -> str:
    """The page as one file that needs nothing else."""
    return (
        environment(True)
        .get_template("log.html")
        .render(page=page, css=shared("page.css"), js=shared("page.js"), statuses=STATUSES)
    )


def shared(name: str) -> Markup:
    """The style sheet or the script that every page carries inside itself. They are ours, so not escaped."""
    return Markup((resource_folder("templates") / name).read_text(encoding="utf-8"))


def md(page: Page) -> str:
    """The log as Markdown."""
    return environment(False).get_template("log.md").render(page=page)
