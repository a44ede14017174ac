"""`witnessmark chapters`: chapters of a log or a timed transcript, as a file or in a copy of the recording."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from pipeline.chapters import CHAPTER_WRITERS, chapter_findings, find_chapters
from pipeline.chapters.cut import SHORTEST_MS
from pipeline.errors import WitnessmarkError
from pipeline.records import BuildLog, Chapter
from pipeline.times import clock_to_ms, ms_to_clock

# "chapters.vtt" is the format "vtt".
_FORMATS = {name.partition(".")[2]: name for name in CHAPTER_WRITERS}


def _length_ms(ctx: click.Context, param: click.Parameter, value: str | None) -> int | None:
    """Milliseconds of `m:ss` or `h:mm:ss`."""
    if value is None:
        return None
    try:
        length_ms = clock_to_ms(value)
    except ValueError as error:
        raise click.BadParameter(f"{value!r} is no length; write it as 2:30", ctx, param) from error
    if length_ms < SHORTEST_MS:
        raise click.BadParameter("a chapter lasts at least 0:10", ctx, param)
    return length_ms


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help='A list of {"start_ms", "title"}.')
@click.option("--format", "format_name", type=click.Choice(list(_FORMATS)), help="Format to print (default: txt).")
@click.option("--chapters", "count", metavar="N", type=click.IntRange(1, 500), help="So many chapters.")
@click.option("--target-length", metavar="M:SS", callback=_length_ms, help="Usual length of a chapter.")
@click.option(
    "--write-into",
    nargs=2,
    metavar="MEDIA OUT",
    type=click.Path(path_type=Path),
    help="Write the chapters into OUT, a copy of MEDIA; nothing is encoded again, MEDIA stays as it is.",
)
@click.option("--vocab", metavar="PACK[,PACK]", multiple=True, help="Only these vocabulary packs (default: all).")
def chapters(
    file: Path,
    as_json: bool,
    format_name: str | None,
    count: int | None,
    target_length: int | None,
    write_into: tuple[Path, Path] | None,
    vocab: tuple[str, ...],
) -> int:
    """Print the chapters of FILE: a log.json, or a transcript with times (.vtt, .srt, .json, .txt).

    \b
    witnessmark chapters log/log.json                      lines for a video's description
    witnessmark chapters captions.vtt --chapters 6 --format ffmetadata
    witnessmark chapters log/log.json --write-into day3.mp4 day3-chapters.mp4
    """
    if count and target_length:
        raise click.UsageError("--chapters and --target-length do not go together; give one of them")
    if as_json and format_name:
        raise click.UsageError("--json and --format do not go together; give one of them")
    log = _log(file, vocab)
    found = list(log.chapters) if not (count or target_length) else []
    found = found or _chapters(log, count, target_length)
    if not found:
        raise WitnessmarkError(f"{file} holds no words, so there is nothing to divide into chapters")
    findings = [finding for finding in log.findings if finding.rule.startswith("transcript-")]
    findings += chapter_findings(found, count)
    for finding in findings:
        click.echo(f"witnessmark: {finding.level} at {ms_to_clock(finding.start_ms)}: {finding.message}", err=True)
    if write_into:
        from pipeline.chapters.media import write_into as write

        write(*write_into, found)
        click.echo(write_into[1])
    if as_json:
        click.echo(json.dumps([asdict(chapter) for chapter in found], ensure_ascii=False, indent=2))
    elif format_name or not write_into:
        writer = CHAPTER_WRITERS[_FORMATS[format_name or "txt"]]
        click.echo(writer(found, log.recording.duration_ms), nl=False)
    return 1 if any(finding.level != "note" for finding in findings) else 0


def _chapters(log: BuildLog, count: int | None, target_length_ms: int | None) -> list[Chapter]:
    from pipeline.render import headings_of
    from pipeline.tokens import written_tokens
    from pipeline.vocabulary import load_vocabulary

    vocabulary = load_vocabulary(log.settings.packs)
    return find_chapters(
        log.words,
        written_tokens(log.words, log.corrections),
        log.events,
        vocabulary,
        log.recording.duration_ms,
        count,
        target_length_ms,
        log.segment_starts,
        log.settings.spelling,
        headings_of(log, vocabulary),
    )


def _log(file: Path, vocab: tuple[str, ...]) -> BuildLog:
    """The log in the file, or that of the transcript in it."""
    from pipeline.cli.run import run
    from pipeline.cli.running import make_bench
    from pipeline.flow import run_recording
    from pipeline.log import FORMAT, read_log
    from pipeline.transcripts import READERS, is_transcript, read_transcript

    if not is_transcript(file):
        raise WitnessmarkError(
            f"{file} is neither a log.json nor a transcript ({', '.join(sorted(READERS))}); "
            "for a recording, use `witnessmark run` first"
        )
    if file.suffix.lower() == ".json" and file.is_file():
        head = file.read_bytes()[:4096]
        if f'"{FORMAT}"'.encode() in head:
            return read_log(file)
    read_transcript(file)  # says what is wrong with it before anything slow is loaded
    # As `witnessmark run` without any of its options, but these.
    options = {str(param.name): () if getattr(param, "multiple", False) else None for param in run.params}
    bench = make_bench(lambda done_ms, total_ms: None, **options | {"vocab": vocab, "no_second_hearing": True})
    return run_recording(file, bench)
