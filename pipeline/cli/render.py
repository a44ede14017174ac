"""`witnessmark render`: all documents again from a log.json, without the sound."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import click

from pipeline.log import needs_person, read_log
from pipeline.records import Spelling
from pipeline.render import SortEvidence, told_by_others
from pipeline.vocabulary import load_vocabulary


@click.command()
@click.argument("log_json", metavar="LOG.json", type=click.Path(path_type=Path))
@click.option("--into", metavar="DIR", type=click.Path(path_type=Path), help="Folder to write to; default: the log's.")
@click.option(
    "--media",
    metavar="FILE",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The recording, for the player and the pictures; default: looked for beside the log.",
)
@click.option("--pictures/--no-pictures", default=True, help="Stills from a video; without them the page is smaller.")
@click.option("--pdf", is_flag=True, help="Also log.pdf (needs: pip install 'witnessmark[pdf]').")
@click.option("--spelling", type=click.Choice(["british", "american"]), help="Spelling of what is written about it.")
def render(
    log_json: Path, into: Path | None, media: Path | None, pictures: bool, pdf: bool, spelling: Spelling | None
) -> int:
    """Write all documents again from a log.json.

    \b
    witnessmark render log/log.json
    witnessmark render log/log.json --into paper --pdf --spelling american
    """
    # Imported here, so that --help and wrong use answer at once.
    from pipeline.build import build_vocabulary, built_recording, evidence_of
    from pipeline.flow import write_outputs

    if log_json.is_dir() and (log_json / "log.json").is_file():  # the folder of a log is as good as the log
        log_json = log_json / "log.json"
    log = read_log(log_json)
    if spelling:
        log = dataclasses.replace(log, settings=dataclasses.replace(log.settings, spelling=spelling))
    into = into or log_json.parent
    media = media or _beside(log.recording.name, into, log_json.parent)
    vocabulary = load_vocabulary(log.settings.packs)
    others: tuple[SortEvidence, ...] = ()
    if built := built_recording(log_json):
        build, recording = built
        media, vocabulary = media or recording.media, build_vocabulary(build.folder)
        others = told_by_others(
            log.recording.sha256, evidence_of(build.recordings, build.settings.settings, vocabulary)
        )
    for path in write_outputs(log, into, vocabulary, media, pictures, pdf, others):
        click.echo(path)
    return 1 if needs_person(log) else 0


def _beside(name: str, *folders: Path) -> Path | None:
    """The recording, where it lies under its own name in one of the folders or in the one above."""
    name = Path(name).name
    places = [place / name for folder in folders for place in (folder, folder.resolve().parent)]
    return next((place for place in places if name and place.is_file()), None)
