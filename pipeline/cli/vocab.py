"""`witnessmark vocab`: lists, checks and explains the vocabulary, and takes the user's own words and decisions."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import click

from pipeline.correct import load_matcher
from pipeline.correct.forms import heard_key
from pipeline.correct.text import correct_lines
from pipeline.correct.verbs import is_verb
from pipeline.errors import WitnessmarkError
from pipeline.vocabulary import UserWords, load_vocabulary, pack_names, read_parts_csv, read_terms
from pipeline.vocabulary.check import check_terms

_FOLDER = click.option(
    "--into", "folder", type=click.Path(path_type=Path), help="Folder of a build to keep it in, not your own folder."
)


@click.group()
def vocab() -> None:
    """The words of the trade, and what you have taught it."""


@vocab.command("list")
@click.argument("pack", required=False)
def list_(pack: str | None) -> int:
    """List the packs, or the terms of one PACK ("mine" for your own)."""
    user = UserWords.load()
    if pack == "mine":
        for name in sorted(user.terms):
            click.echo(name)
        for heard, name in sorted(user.accepted.items()):
            click.echo(f"heard “{heard}”: always {name}")
        for heard, names in sorted(user.rejected.items()):
            click.echo(f"heard “{heard}”: never {', '.join(names)}")
        return 0
    if pack:
        for term in load_vocabulary([pack]).terms:
            if term.pack == pack:
                others = f"  ({', '.join(term.spellings[1:])})" if len(term.spellings) > 1 else ""
                click.echo(f"{term.name}{others}")
        return 0
    counts = Counter(term.pack for term in load_vocabulary().terms)
    for name in pack_names():
        click.echo(f"{counts[name]:6d}  {name}")
    click.echo(f"{len(user.terms):6d}  mine  ({user.folder})")
    return 0


@vocab.command()
@click.argument("files", type=click.Path(path_type=Path), nargs=-1)
def check(files: tuple[Path, ...]) -> int:
    """Check FILES (packs or plain lists), or everything that ships and your own pack. Prints every fault at once."""
    faults = []
    terms = []
    for path in files:
        listed, findings = read_terms(path)
        faults += [f"{path}: {finding.message}" for finding in findings]
        terms += list(listed)
    faults += check_terms(terms if files else load_vocabulary().terms)
    for fault in faults:
        click.echo(fault)
    return 1 if faults else 0


@vocab.command()
@click.argument("words", nargs=-1, required=True)
def explain(words: tuple[str, ...]) -> int:
    """Say what would be made of some heard WORDS, and why."""
    corrections = correct_lines([" ".join(words)], load_matcher())[0]
    for corr in corrections:
        rivals = f" (or {', '.join(corr.rivals)})" if corr.rivals else ""
        click.echo(f"{corr.decision:5}{corr.heard} -> {corr.written}{rivals}  {corr.score:.0%}: {corr.why}")
    if not corrections:
        click.echo("nothing here looks like a garbled term")
    return 0


@vocab.command()
@click.argument("name")
@click.option("--part-of", default="", help="Key of the assembly that it is part of (see vocab/assemblies.toml).")
@click.option("--kind", default="", help="part, fastener, tool, fluid, finish, material, action or measure.")
@click.option("--also", multiple=True, help="Another name for the same thing; may be given again.")
@click.option("--plural", default="", help="Its plural, where that is not regular.")
@_FOLDER
def add(name: str, part_of: str, kind: str, also: tuple[str, ...], plural: str, folder: Path | None) -> int:
    """Add the term NAME to your own pack."""
    known = load_vocabulary()
    if part_of and part_of not in known.assemblies:
        raise WitnessmarkError(f"no assembly called {part_of!r}; there are: {', '.join(sorted(known.assemblies))}")
    given: dict[str, object] = {"part_of": part_of, "kind": kind, "plural": plural, "also": list(also)}
    entry = {key: value for key, value in given.items() if value}
    name = " ".join(name.split())
    if not name:
        raise WitnessmarkError("a term needs at least one letter; say for example: witnessmark vocab add “gib strip”")
    user = UserWords.load(folder).add(name, entry)
    user.save()
    click.echo(f"{name} is in {user.pack}")
    return 0


@vocab.command()
@click.argument("decision", type=click.Choice(["accept", "reject"]))
@click.argument("heard")
@click.argument("meant")
@_FOLDER
def learn(decision: str, heard: str, meant: str, folder: Path | None) -> int:
    """Learn that HEARD means MEANT (accept), or never does (reject). It holds from then on."""
    user = UserWords.load(folder)
    key = heard_key(heard.split())
    if not key:
        raise WitnessmarkError("what was heard has no word in it; give the words as they were heard, in quotes")
    names = {spelling.lower(): term.name for term in load_vocabulary().terms for spelling in term.spellings}
    name = " ".join(meant.split())
    if decision == "reject":
        user.reject(key, names.get(name.lower(), name)).save()
        click.echo(f"“{key}” is never taken for {name} again")
        return 0
    if name.lower() not in names:
        user = user.add(name, {"kind": "action"} if is_verb(name) else {})
        click.echo(f"{name} was not in the vocabulary; it is in {user.pack} now")
    user.accept(key, name).save()
    click.echo(f"“{key}” is always {name} from now on")
    return 0


@vocab.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--column", default="", help="Heading of the column with the names.")
@_FOLDER
def import_(file: Path, column: str, folder: Path | None) -> int:
    """Import the part names of a parts list (CSV) or of a text file with one a line into your own pack."""
    if file.suffix.lower() in (".csv", ".tsv"):
        names, findings = read_parts_csv(file, column)
    else:
        listed, findings = read_terms(file)
        names = [term.name for term in listed]
    known = {spelling.lower() for term in load_vocabulary().terms for spelling in term.spellings}
    user = UserWords.load(folder)
    fresh = [name for name in names if name.lower() not in known]
    for name in fresh:
        user = user.add(name, {})
    user.save()
    for finding in findings:
        click.echo(f"{finding.level}: {finding.message}", err=True)
    click.echo(f"{len(fresh)} new terms are in {user.pack}; {len(names) - len(fresh)} were known already")
    return 1 if any(finding.level != "note" for finding in findings) else 0
