"""The shipped packs, held to the rules of `pack_checks`, to their size, and to lists from outside the project."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from pipeline.resources import resource_folder
from pipeline.vocabulary import Vocabulary, load_vocabulary, pack_names, regular_singular
from tests.vocabulary.pack_checks import AMERICAN, faults

VOCAB = resource_folder("vocab")
ASSEMBLIES = set(tomllib.loads((VOCAB / "assemblies.toml").read_text(encoding="utf-8"))["assemblies"])
PACKS = {f"{name}.toml": (VOCAB / f"{name}.toml").read_text(encoding="utf-8") for name in pack_names()}
STANDARDS = tomllib.loads(Path(__file__).with_name("hardware_standards.toml").read_text(encoding="utf-8"))["standards"]

# A pack without a fault: each seeded pack below differs from it in one thing.
GOOD = """\
source = "Written for a test."
kind = "part"

[terms]
"ER collet" = { part_of = "workholding", kind = "tool" }
"split pin" = { part_of = "fasteners", us = "cotter pin", kind = "fastener" }
"swarf" = { part_of = "bench", plural = "swarf" }
"tyre lever" = { part_of = "tools", also = ["tyre iron"], kind = "tool", pair = "ends" }
"""
KNOWN = {"bench", "fasteners", "tools", "workholding"}


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary()


def every_spelling(vocabulary: Vocabulary) -> set[str]:
    return {spelling.lower() for term in vocabulary.terms for spelling in term.spellings}


def test_packs_are_without_fault() -> None:
    found = faults(PACKS, ASSEMBLIES)
    assert not found, f"{len(found)} faults in the vocabulary packs:\n" + "\n".join(found)


def test_every_pack_asked_for_is_there() -> None:
    wanted = {"motorcycle", "car", "bicycle", "outboard", "machine_shop", "fasteners", "tools", "fluids"}
    wanted |= {"finishes", "materials", "electrical", "brakes", "actions"}
    assert wanted <= set(pack_names())


def test_there_are_at_least_three_thousand_names(vocabulary: Vocabulary) -> None:
    names = {term.name.lower() for term in vocabulary.terms}
    assert len(names) >= 3000
    assert len(names) == len(vocabulary.terms), "a name was lost on loading because two packs have it"


@pytest.mark.parametrize(
    ("pack", "least"),
    [
        ("actions", 130),
        ("bicycle", 280),
        ("fasteners", 280),
        ("finishes", 110),
        ("machine_shop", 450),
        ("materials", 120),
        ("outboard", 260),
        ("tools", 350),
    ],
)
def test_pack_is_deep_enough(vocabulary: Vocabulary, pack: str, least: int) -> None:
    assert sum(term.pack == pack for term in vocabulary.terms) >= least


# Names that a survey of WordNet 3.1's noun hierarchy (hyponyms of tool, fastener, mechanism, mechanical device and
# the like) found missing: general word lists do not have them, so a workshop vocabulary must. One more was found
# missing, a maker's name for a wire thread insert; the generic name stands here for it.
NOT_IN_WORDNET = (
    "ball joint",
    "banjo bolt",
    "bottom bracket",
    "circlip",
    "crown wheel",
    "derailleur",
    "feeler gauge",
    "fuel pump",
    "impact wrench",
    "kickstart",
    "oil pan",
    "oil seal",
    "pushrod",
    "rotor arm",
    "split pin",
    "steering head",
    "swingarm",
    "wire thread insert",
    "woodruff key",
)


@pytest.mark.parametrize("name", NOT_IN_WORDNET)
def test_terms_that_general_word_lists_lack_are_here(vocabulary: Vocabulary, name: str) -> None:
    assert name in every_spelling(vocabulary)


@pytest.mark.parametrize("number", STANDARDS)
def test_hardware_with_a_standard_of_its_own_has_a_name(vocabulary: Vocabulary, number: str) -> None:
    assert STANDARDS[number]["said"].lower() in every_spelling(vocabulary), f"{number}: {STANDARDS[number]['title']}"


@pytest.mark.parametrize(
    ("american", "british"),
    # British and American names of the same thing, as the project's brief gives them or in common use on both sides.
    [
        ("swingarm", "swinging arm"),
        ("wrist pin", "gudgeon pin"),
        ("wrench", "spanner"),
        ("cotter pin", "split pin"),
        ("snap ring", "circlip"),
        ("bushing", "bush"),
        ("engine lathe", "centre lathe"),
        ("jack stand", "axle stand"),
        ("follow rest", "travelling steady"),
        ("feeler gage", "feeler gauge"),
        ("drill rod", "silver steel"),
        ("babbitt", "white metal"),
    ],
)
def test_british_and_american_are_one_term(vocabulary: Vocabulary, american: str, british: str) -> None:
    owners = {term.name for term in vocabulary.terms if {american, british} <= set(term.spellings)}
    assert len(owners) == 1


WORD_LISTS = {name: Path("/usr/share/dict") / name for name in ("british-english", "american-english")}


@pytest.mark.outside
def test_table_of_american_words_agrees_with_the_word_lists() -> None:
    """Debian's wbritish must know our British words, and wamerican our American ones."""
    missing = [name for name, path in WORD_LISTS.items() if not path.exists()]
    if missing:
        pytest.skip(f"no /usr/share/dict/{missing[0]}; install Debian's wbritish and wamerican")
    british, american = (set(path.read_text(encoding="utf-8").split()) for path in WORD_LISTS.values())
    for ours, theirs in AMERICAN.items():
        assert ours in american, f"{ours!r} is not in american-english"
        assert any(word in british for word in theirs.split(" or ")), f"{theirs!r} is not in british-english"


def test_a_good_pack_has_no_fault() -> None:
    assert faults({"good.toml": GOOD}, KNOWN) == []


# What is changed in GOOD (old text, new text), and a part of the fault that must be reported.
SEEDED = [
    ('kind = "part"\n', 'kind = "part\n', "not valid TOML"),
    ("Written for a test.", "", "no source"),
    ('kind = "part"\n', 'kind = "part"\ncolour = "red"\n', "unknown key 'colour'"),
    ('kind = "part"\n', 'kind = "gadget"\n', "unknown kind 'gadget'"),
    ('kind = "fastener"', 'kind = "gadget"', "'split pin' has unknown kind 'gadget'"),
    ('pair = "ends"', 'pair = "both"', "unknown pair 'both'"),
    ('pair = "ends"', 'weight = "2 lb"', "unknown key 'weight'"),
    ('also = ["tyre iron"]', 'also = "tyre iron"', "also must be a list"),
    ('also = ["tyre iron"]', "also = []", "also is empty"),
    ('also = ["tyre iron"]', "also = [3]", "also must hold only strings"),
    ('"fasteners"', '"fastners"', "no assembly called 'fastners'"),
    ('part_of = "bench", ', "", "'swarf' has no part_of"),
    ('"ER collet"', '"whitworth collet"', "'split pin' must stand before 'whitworth collet'"),
    ('"swarf" =', '"split pin" =', "already on line 6"),
    ('"swarf" = { part_of = "bench", plural = "swarf" }', '[terms.swarf]\npart_of = "bench"', "one line under [terms]"),
    ('"swarf" =', "swarf =", "not of the form"),
    ('"swarf" = { part_of = "bench", plural = "swarf" }', '"swarf" = "bench"', "is not a table"),
    ('"swarf" =', '"Swarf" =', "'Swarf' must be lower case"),
    ('"swarf" =', '"sw/ arf" =', "not words with single blanks"),
    ('"swarf" =', '"swarf from the big old lathe" =', "more than 5 words"),
    ('"tyre lever"', '"tire lever"', "'tire' is American"),
    ('"swarf" }', '"swarfs" }', "plural 'swarfs' is regular"),
    ('"swarf" }', '"chips" }', "plural 'chips' is no form of it"),
    ('"ER collet"', '"crankcase half"', "needs its plural: 'crankcase halfs' is wrong"),
    ('"split pin"', '"split pliers"', "looks like a plural"),
    ('us = "cotter pin"', 'us = "split pin"', "gives 'split pin' twice"),
    ('us = "cotter pin"', 'us = "swarf"', "spelling 'swarf' is a term of its own, bad.toml:7"),
    ('also = ["tyre iron"]', 'also = ["cotter pin"]', "spelling 'cotter pin' also belongs to bad.toml:6: 'split pin'"),
]


@pytest.mark.parametrize(("old", "new", "fault"), SEEDED, ids=[fault for _, _, fault in SEEDED])
def test_a_bad_pack_is_found_out(old: str, new: str, fault: str) -> None:
    assert GOOD.count(old) == 1
    found = faults({"bad.toml": GOOD.replace(old, new)}, KNOWN)
    assert any(fault in line for line in found), "\n".join(found) or "no fault reported"


@pytest.mark.parametrize(
    ("other", "fault"),
    [
        ('"swarf" = { part_of = "bench", plural = "swarf" }', "two.toml:4: 'swarf' is also in one.toml:7: 'swarf'"),
        ('"chips" = { part_of = "bench", plural = "chips", us = "swarf" }', "spelling 'swarf' is a term of its own"),
        ('"split-pin" = { part_of = "bench" }', "two.toml:4: 'split-pin' is also in one.toml:6: 'split pin'"),
        ('"swar" = { part_of = "bench", plural = "swarf" }', "its plural is a term of its own, one.toml:7: 'swarf'"),
        ('"key pin" = { part_of = "bench", us = "cotter pin" }', "also belongs to one.toml:6: 'split pin'"),
    ],
)
def test_clashes_between_packs_are_found(other: str, fault: str) -> None:
    two = f'source = "Written for a test."\n\n[terms]\n{other}\n'
    found = faults({"one.toml": GOOD, "two.toml": two}, KNOWN)
    assert [line for line in found if fault in line], "\n".join(found) or "no fault reported"


def test_all_faults_are_reported_at_once() -> None:
    bad = """\
source = "Written for a test."
[terms]
"tire lever" = { part_of = "tool", kind = "gadget" }
"swarf" = { part_of = "bench", us = "chips" }
"pliers" = { part_of = "tools", also = ["swarf"], pair = "both" }
"""
    assert faults({"bad.toml": bad, "worse.toml": "= no toml"}, {"bench", "tools"}) == [
        "bad.toml:4: 'swarf' must stand before 'tire lever'; terms are sorted by name",
        "bad.toml:5: 'pliers' must stand before 'swarf'; terms are sorted by name",
        "bad.toml:3: 'tire lever' has unknown kind 'gadget'; there are: part, fastener, tool, fluid, finish, material, "
        "action, measure",
        "bad.toml:5: 'pliers' has unknown pair 'both'; there are: sides, ends",
        "bad.toml:3: 'tire lever': 'tire' is American; name it 'tyre' and put this in us",
        "bad.toml:5: 'pliers' looks like a plural; give plural (the same word if it has no other)",
        "worse.toml: not valid TOML: Invalid statement (at line 1, column 1)",
        "bad.toml:3: 'tire lever': no assembly called 'tool'; there are: bench, tools",
        "bad.toml:5: 'pliers': spelling 'swarf' is a term of its own, bad.toml:4: 'swarf'",
    ]


def test_a_sort_of_machine_has_its_own_parts_in_assemblies_that_it_has() -> None:
    vocabulary = load_vocabulary()
    faults = []
    for machine in vocabulary.machines:
        for part, key in machine.parts:
            on = vocabulary.assemblies[key].on if key in vocabulary.assemblies else ("no such assembly",)
            if on and machine.key not in on:
                faults.append(f"{machine.key}: {part} is of {key}, which it has not")
            if part != part.lower() or regular_singular(part.split()[-1]) != part.split()[-1]:
                faults.append(f"{machine.key}: {part} is not singular and small")
        names = [part for part, _ in machine.parts]
        if len(set(names)) < len(names) or sorted(machine.parts, key=lambda own: (own[1], own[0])) != list(
            machine.parts
        ):
            faults.append(f"{machine.key}: parts are not sorted, or stand twice")
    assert not faults, "\n".join(faults)
