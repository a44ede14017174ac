"""The texts of the documents: one function each, from the page to what stands in the file."""

from __future__ import annotations

import functools

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from pipeline.render.inert import markdown, plain
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
    return env


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
