"""Golden files: what the documents of the hand-made log look like. Write them again with

python -m tests.render.golden
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from pipeline.log import log_text
from pipeline.render import WRITERS, page_context
from tests.render.penhallow import LOG, VOCABULARY

FOLDER = Path(__file__).parent / "golden"


def documents() -> dict[str, str]:
    """Every golden file's name and the text it should have now."""
    page = page_context(LOG, VOCABULARY)
    american = page_context(replace(LOG, settings=replace(LOG.settings, spelling="american")), VOCABULARY)
    texts = {name: writer(page) for name, writer in WRITERS.items()}
    texts["log.html"] = _without_looks(texts["log.html"])
    texts["log.american.md"] = WRITERS["log.md"](american)
    texts["log.json"] = log_text(LOG)
    return texts


def _without_looks(html: str) -> str:
    """A change of colour is no change of the document."""
    return re.sub(r"<(style|script)>.*?</\1>", r"<\1></\1>", html, flags=re.DOTALL)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in documents().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="")
        print("wrote", FOLDER / name)
