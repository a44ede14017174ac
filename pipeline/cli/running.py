"""What `witnessmark run` does once its options are understood."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import click

from pipeline.build import (
    add_recording,
    build_settings,
    build_vocabulary,
    evidence_of,
    find_recording,
    parse_date,
    read_build,
)
from pipeline.build.dates import recorded_time
from pipeline.correct import Decisions, Matcher, build_matcher
from pipeline.errors import WitnessmarkError
from pipeline.events import EventFinder
from pipeline.flow import OUTPUTS, Bench, run_recording, write_outputs
from pipeline.hearing import ModelPlace, resolve_model
from pipeline.hearing.sound import file_sha256
from pipeline.log import read_log
from pipeline.records import BuildLog, Settings
from pipeline.render import check_paper
from pipeline.vocabulary import UserWords, load_vocabulary, shipped_hearings, with_machine


def make_bench(on_progress: Callable[[int, int], None], **options: Any) -> Bench:
    """Loads what all recordings of the run share.

    Raises:
        WitnessmarkError: an unknown pack, a vocabulary file that cannot be read, no build in the folder, or a build
            of another machine.
    """
    if options["pdf"]:
        check_paper()  # hours of hearing first, and then no paper, would be a poor joke
    build: Path | None = options["build"]
    packs = tuple(name.strip() for given in options["vocab"] for name in given.split(",") if name.strip())
    settings = build_settings(build) if build else Settings()
    if build and options["machine"]:
        _check_machine(build, settings.machine, options["machine"])
    given: dict[str, Any] = {
        name: options[name] for name in ("machine", "units", "spelling", "language") if options[name]
    }
    settings = replace(settings, **given, packs=packs or settings.packs)
    user = UserWords.load()
    taught = [Decisions.of(user), *([Decisions.of(UserWords.load(build))] if build else [])]
    if build and not packs and not options["terms"]:
        vocabulary = build_vocabulary(build)
    else:
        own = [user.pack] if user.pack.is_file() else []
        vocabulary = load_vocabulary(settings.packs, [*own, *options["terms"]])

    @lru_cache(maxsize=1)
    def place() -> ModelPlace:
        found, remark = resolve_model(options["model"], settings.language)
        if remark:
            click.echo(f"witnessmark: {remark}", err=True)
        return found

    @lru_cache(maxsize=1)
    def matcher() -> Matcher:
        # only correction listens for the name: a machine is no part of itself
        return build_matcher(with_machine(vocabulary, settings.machine), shipped_hearings(), _merged(taught))

    @lru_cache(maxsize=1)
    def finder() -> EventFinder:
        return EventFinder(vocabulary)

    return Bench(
        settings=settings,
        vocabulary=vocabulary,
        matcher=matcher,
        finder=finder,
        place=place,
        second_hearing=not options["no_second_hearing"],
        own_spelling=build is None and not options["spelling"],
        chapter_count=options["chapter_count"],
        on_progress=on_progress,
    )


def _check_machine(build: Path, machine: str, given: str) -> None:
    """A build is of one machine: a log that called it otherwise would contradict its book."""
    if " ".join(given.casefold().split()) != machine.casefold():
        raise WitnessmarkError(
            f"the build in {build} is of {machine!r}, not {given!r}: leave --machine out, give another build, "
            f"or change the name in {build / 'build.toml'}"
        )


def _merged(taught: list[Decisions]) -> Decisions:
    """Decisions of the user and of the build; where they differ the build's hold."""
    accepted: dict[str, str] = {}
    for decisions in taught:
        accepted.update(decisions.accepted)
    return Decisions(frozenset[tuple[str, str]]().union(*(decisions.rejected for decisions in taught)), accepted)


def _made_on(path: Path, date: str | None) -> str:
    if date:
        return parse_date(date).isoformat(sep=" ", timespec="minutes")
    if not path.is_file():  # the next stage says so better
        return ""
    moment, dated_by = recorded_time(path)
    return moment.isoformat(sep=" ", timespec="minutes") if dated_by in ("media", "name") else ""


def run_into_folder(path: Path, bench: Bench, several: bool, **options: Any) -> tuple[BuildLog, Path]:
    """One recording into a folder of its own; with several recordings, into a folder each below `--into`."""
    into: Path = options["into"] or Path(f"{path.stem}-log")
    if several and options["into"]:
        into = into / path.stem
    log = run_recording(path, bench, _made_on(path, options["date"]))
    with bench.timed("write"):
        write_outputs(log, into, bench.vocabulary, path, not options["no_pictures"], options["pdf"])
    return log, into


def run_into_build(path: Path, bench: Bench, **options: Any) -> tuple[BuildLog | None, Path]:
    """One recording into the build; None for the log where the build holds it already."""
    build: Path = options["build"]
    known = find_recording(build, file_sha256(path)) if path.is_file() else None
    if known is not None and not options["again"]:
        if not all((known / name).is_file() for name in OUTPUTS):  # the last run died between its log and the rest
            _hear_of_others(build, bench)
            log = read_log(known / "log.json")
            others = bench.told_by_others(log.recording.sha256)
            write_outputs(log, known, bench.vocabulary, path, not options["no_pictures"], others=others)
        return None, known
    _hear_of_others(build, bench)
    log = run_recording(path, bench, _made_on(path, options["date"]))
    date = parse_date(options["date"]) if options["date"] else None
    place = add_recording(build, log, recorded_at=date, media=path, replace=options["again"])
    with bench.timed("write"):
        others = bench.told_by_others(log.recording.sha256)
        write_outputs(log, place, bench.vocabulary, path, not options["no_pictures"], options["pdf"], others)
    return log, place


def _hear_of_others(build: Path, bench: Bench) -> None:
    """Notes what the recordings of the build tell of the sort of its machine; a damaged one is for `check` to name."""
    with contextlib.suppress(WitnessmarkError):
        new = [one for one in read_build(build).recordings if one.log.recording.sha256 not in bench.told]
        bench.told.update(evidence_of(new, bench.settings, bench.vocabulary))
