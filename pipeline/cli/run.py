"""`witnessmark run`: recordings in, logs out."""

from __future__ import annotations

import resource
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

import click

from pipeline.errors import WitnessmarkError
from pipeline.records import BuildLog, Spelling, UnitSystem
from pipeline.times import ms_to_clock


class _Progress:
    """A bar on stderr with the share of the speech heard and the time left; nothing where nobody watches."""

    def __init__(self) -> None:
        self._bar: Any = None

    def __call__(self, done_ms: int, total_ms: int) -> None:
        if self._bar is None:
            self._bar = click.progressbar(
                length=total_ms, label="hearing", file=sys.stderr, hidden=not sys.stderr.isatty()
            )
            self._bar.__enter__()
        self._bar.update(done_ms - self._bar.pos)
        if done_ms >= total_ms:
            self.close()

    def close(self) -> None:
        """Ends the bar's line."""
        if self._bar is not None:
            self._bar.__exit__(None, None, None)
            self._bar = None


@click.command()
@click.argument("media", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--into", metavar="DIR", type=click.Path(path_type=Path), help="Folder to write to (default: NAME-log).")
@click.option("--build", metavar="FOLDER", type=click.Path(path_type=Path), help="Add to the build in this folder.")
@click.option("--machine", metavar="NAME", help="What is being worked on; stands at the head of the log.")
@click.option("--vocab", metavar="PACK[,PACK]", multiple=True, help="Only these vocabulary packs (default: all).")
@click.option("--terms", metavar="FILE", multiple=True, type=click.Path(path_type=Path), help="Terms of your own, too.")
@click.option("--units", type=click.Choice(get_args(UnitSystem)), help="Whose pints, gallons and ounces are meant.")
@click.option(
    "--spelling",
    type=click.Choice(get_args(Spelling)),
    help="Spelling of the documents; else as the speaker names things.",
)
@click.option("--language", metavar="CODE", help="Language spoken (default: en).")
@click.option("--model", metavar="NAME", help="Speech model: plain (no words of the workshop), a folder or a name.")
@click.option("--no-second-hearing", is_flag=True, help="Quicker: never go back to the sound.")
@click.option("--chapters", "chapter_count", metavar="N", type=click.IntRange(1), help="So many chapters.")
@click.option("--date", metavar="DATE", help="When it was recorded, if the file does not know.")
@click.option("--again", is_flag=True, help="Also what the build holds already; its log is written anew.")
@click.option("--no-pictures", is_flag=True, help="No stills from a video.")
@click.option("--pdf", is_flag=True, help="Also log.pdf (needs: pip install 'witnessmark[pdf]').")
@click.option("--timings", is_flag=True, help="Say on stderr how long each stage took, and the peak memory.")
def run(media: Sequence[Path], **options: Any) -> int:
    """Turn recordings into build logs.

    MEDIA is any sound or video file, or a transcript with times (.vtt, .srt, .json, or .txt with [m:ss] marks).

    \b
    witnessmark run gearbox.mp4 --into gearbox-log
    witnessmark run --build penhallow monday.m4a tuesday.m4a
    witnessmark run captions.vtt --vocab machine_shop,fasteners,tools

    What was heard is kept: a run that is stopped goes on where it was.
    """
    if options["build"] is not None and options["into"] is not None:
        raise click.UsageError("--into and --build do not go together: a build has its own folders")
    # Imported here, so that --help and wrong use answer at once.
    from pipeline.cli import running

    progress = _Progress()
    try:
        bench = running.make_bench(progress, **options)
        status, failures = 0, []
        for path in media:
            try:
                status = max(status, _one(path, bench, options))
            except WitnessmarkError as error:
                # One bad file does not keep the others waiting.
                if len(media) == 1:
                    raise
                failures.append(path)
                click.echo(f"witnessmark: {error}", err=True)
    finally:
        progress.close()
    if options["timings"]:
        _say_timings(bench.seconds)
    if failures:
        raise WitnessmarkError(f"{len(failures)} of {len(media)} recordings could not be done; the others are")
    return status


def _one(path: Path, bench: Any, options: dict[str, Any]) -> int:
    from pipeline.cli import running
    from pipeline.log import needs_person

    if options["build"] is not None:
        log, place = running.run_into_build(path, bench, **options)
        if log is None:
            click.echo(f"{path} is in the build already: {place} (--again does it anew)")
            return 0
    else:
        several = len(click.get_current_context().params["media"]) > 1
        log, place = running.run_into_folder(path, bench, several=several, **options)
    click.echo(f"{place / 'log.html'}\n{_summary(log)}")
    return 1 if needs_person(log) else 0


def _summary(log: BuildLog) -> str:
    """What there is, in one line: what needs a person comes last, where the eye rests."""
    open_ends = sum(not end.closed_by for end in log.loose_ends)
    to_check = sum(finding.level != "note" for finding in log.findings)
    counts = [
        (len(log.events), "event", "events"),
        (len(log.quantities), "figure", "figures"),
        (len(log.chapters), "chapter", "chapters"),
        (open_ends, "loose end", "loose ends"),
        (to_check, "thing to check", "things to check"),
    ]
    listed = ", ".join(f"{number} {one if number == 1 else many}" for number, one, many in counts)
    return f"{ms_to_clock(log.recording.duration_ms)} heard: {listed}"


def _say_timings(seconds: dict[str, float]) -> None:
    for stage, spent in seconds.items():
        click.echo(f"{stage:<12} {spent:8.2f} s", err=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    mebibytes = peak / 1024 if sys.platform != "darwin" else peak / 1024**2
    click.echo(f"{'peak memory':<12} {mebibytes:8.0f} MiB", err=True)
