"""The parser of the WebVTT validator, npm webvtt-parser, asked for its opinion."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

VALIDATOR = Path(__file__).parent.parent / "outside" / "node_modules" / "webvtt-parser"


def validate(text: str, kind: str = "subtitles") -> tuple[list[str], list[str]]:
    """Errors and texts by the parser of the WebVTT validator (npm webvtt-parser)."""
    script = (
        "const {WebVTTParser} = require(process.argv[1]);"
        "const tree = new WebVTTParser().parse(require('fs').readFileSync(0, 'utf8'), process.argv[2]);"
        "console.log(JSON.stringify([tree.errors.map(e => e.message), tree.cues.map(c => c.text)]));"
    )
    result = subprocess.run(
        ["node", "-e", script, str(VALIDATOR), kind], input=text, capture_output=True, text=True, check=True
    )
    errors, texts = json.loads(result.stdout)
    return errors, texts
