"""Where entries stand: the sort of machine, names of parts, the work around them, and the cautions that go with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.records import BuildLog, Chapter, Event, Recording, Settings, Word
from pipeline.render import page_context
from pipeline.render.machine_sort import assemblies_of, headings_of, sort_of
from pipeline.render.part_places import SORTS, PartPlaces
from pipeline.render.places import course_of
from pipeline.tokens import line_words
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def _log(*parts: str, machine: str = "", spoken: str = "", chapters: tuple[int, ...] = (0,)) -> BuildLog:
    """A log of parts fitted one after another; a chapter begins at each of these places."""
    of = {name: term.part_of for term in VOCABULARY.terms for name in term.spellings}
    events = tuple(
        Event(
            f"e{at}", "fit", part, "done", "", "", "", "", None, (), "", part, at, at + 1, at * 1000, of.get(part, "")
        )
        for at, part in enumerate(parts)
    )
    words = tuple(Word(word, 80_000 + at, 80_001 + at) for at, word in enumerate(spoken.split()))
    starts = tuple(Chapter(at * 1000, "") for at in chapters)
    return BuildLog(
        Recording("a", 90_000, ""), words, events=events, chapters=starts, settings=Settings(machine=machine)
    )


def _said(*parts: str, machine: str = "", spoken: str = "", chapters: tuple[int, ...] = (0,)) -> list[str]:
    log = _log(*parts, machine=machine, spoken=spoken, chapters=chapters)
    places = course_of(log, VOCABULARY).places
    return [places[event] for event in log.events]


def test_small_parts_go_with_the_work_around_them() -> None:
    gearbox = ("layshaft", "circlip", "mainshaft", "thrust washer", "gear oil")
    assert (
        _said(*gearbox, "brake caliper", "bolt", "brake pad", "nut", chapters=(0, 5))
        == ["gearbox"] * 5 + ["brakes"] * 4
    )


def test_what_is_told_twice_of_a_part_stands_in_one_place() -> None:
    said = (
        "layshaft",
        "mainshaft",
        "gearbox cover",
        "gasket",
        "gasket",
        "screw",
        "screw",
        "drain plug",
        "washer",
        "oil filter",
    )
    assert _said(*said)[:7] == ["gearbox"] * 7, "the screws of the cover are not the drain plug's"
    # parted by other work they may be others
    assert _said(*said[:6], "brake caliper", "brake pad", "brake disc", "screw")[-1] == "brakes"


def test_what_is_only_carried_on_ends_with_its_chapter() -> None:
    assert _said("rocker cover", "nut", *["spacer"] * 4, chapters=(0, 2)) == ["top_end", "top_end", "", "", "", ""]


def test_work_goes_on_under_a_heading_only_as_long_as_its_parts_are_named() -> None:
    strange = ("fence", "hopper", "ledge", "perch", "shelf", "cradle", "saucer", "funnel", "ladle", "pillow", "curtain")
    places = _said("brake caliper", "brake pad", "brake disc", *strange)
    assert places[:3] == ["brakes"] * 3
    assert places[-1] == ""


def test_in_a_recording_about_one_assembly_what_has_no_place_is_there() -> None:
    box = (
        "layshaft",
        "mainshaft",
        "selector fork",
        "gear lever",
        "speedo drive",
        "synchro ring",
        "baulk ring",
        "gearbox",
    )
    strange = ("fence", "ledge", "perch", "shelf", "cradle", "saucer", "funnel", "ladle", "pillow", "curtain")
    assert _said(*box, *strange)[-1] == "gearbox"
    assert _said(*box[:2], *strange)[-1] == "", "two parts make no such recording"


def test_a_word_that_names_several_parts_of_an_assembly_is_a_topic() -> None:
    places = PartPlaces(VOCABULARY, {"mill", "carriage", "headstock"}, "british")
    assert list(places.topic("knee")) == ["mill"]
    assert places.topic("top") == places.topic("wobble") == {}


@pytest.mark.parametrize(
    ("parts", "wanted"),
    [
        # a brake disc is no alternator's rotor, nor a boot a car's, among brakes
        (("brake caliper", "rotor", "brake pad", "boot", "slider pin", "rotor"), ["brakes"] * 6),
        # the seat of a float needle
        (("float needle", "seat", "main jet", "float bowl"), ["fuel"] * 4),
        # a name that leaves no doubt stands alone
        (("layshaft", "mainshaft", "fuel filter", "selector fork"), ["gearbox", "gearbox", "fuel", "gearbox"]),
        # called for short what only brakes have, and named after what they hold
        (("brake caliper", "drum", "shoe", "caliper nut"), ["brakes"] * 4),
    ],
)
def test_a_word_of_many_machines_is_of_the_one_worked_on(parts: tuple[str, ...], wanted: list[str]) -> None:
    assert _said(*parts) == wanted


def test_a_lathe_has_no_cooling_system_and_a_gearbox_no_cutting_tools() -> None:
    lathe = _said("chuck", "bull gear", "tailstock barrel", "drive belt", "tailstock quill")
    assert "cooling" not in lathe and lathe[-1] == "tailstock"
    assert _said("layshaft", "boring bar", "mainshaft", "selector fork", "clutch basket")[1] == "gearbox"


@pytest.mark.parametrize(
    ("machine", "parts", "wanted"),
    [
        ("Merrow touring caravan", ("wheel hub", "wheel bearing", "jockey wheel"), "wheels"),
        ("Lindal 14 bandsaw", ("tyre",), "saw"),
        ("Lindal bench drill", ("tyre",), ""),
        ("Ketteridge bench drill", ("spindle", "spindle bearing", "clamp screw"), "headstock"),
        # the same names on the machines that have them
        ("Merrow bicycle", ("jockey wheel",), "drivetrain"),
        ("Lindal motorcycle", ("tyre",), "wheels"),
        ("Ketteridge outboard", ("clamp screw",), "midsection"),
    ],
)
def test_the_machines_name_rules_out_headings_of_others(machine: str, parts: tuple[str, ...], wanted: str) -> None:
    assert _said(*parts, machine=machine)[-1] == wanted


def test_a_plug_is_of_what_it_is_said_to_be_out_of() -> None:
    words = line_words(
        "The clutch is off. The clutch plate is off. Drain plug out of the gearbox. The gearbox oil is black."
    )
    parts = (("clutch", 1, 2), ("clutch plate", 5, 7), ("drain plug", 9, 11))
    made = tuple(
        replace(_log(part).events[0], id=f"e{first}", start_word=first, end_word=end, start_ms=first * 400)
        for part, first, end in parts
    )
    log = BuildLog(Recording("a", 90_000, ""), words, events=made)
    assert course_of(log, VOCABULARY).places[made[2]] == "gearbox"


def test_what_has_a_front_one_is_not_of_the_box_that_was_announced() -> None:
    said = "Gearbox. The gearbox level is right. Front spindle nut is tight. Brake plate is tight."
    parts = (("gearbox", 0, 1, ""), ("gearbox", 2, 3, ""), ("spindle nut", 6, 9, "front"), ("brake plate", 11, 13, ""))
    made = tuple(
        replace(_log(part).events[0], id=f"e{first}", start_word=first, end_word=end, start_ms=first * 400, position=at)
        for part, first, end, at in parts
    )
    log = BuildLog(Recording("a", 90_000, ""), line_words(said), events=made)
    assert [course_of(log, VOCABULARY).places[event] for event in made][1:3] == ["gearbox", "wheels"]


def test_the_pump_of_a_tractor_is_no_tractor() -> None:
    parts = ("piston", "valve", "piston ring", "control valve bush", "side cover")
    pump = headings_of(_log(*parts, machine="Grey tractor hydraulic pump"), VOCABULARY)
    assert "top_end" not in pump and "hardware" in pump
    assert "top_end" in headings_of(_log(*parts, machine="Grey tractor"), VOCABULARY)
    assert "powerhead" in headings_of(_log("gearcase", machine="Tamsin outboard engine"), VOCABULARY)


def test_a_machine_is_known_by_what_is_said_of_it_and_by_its_parts() -> None:
    caravan = _log(spoken="so the caravan has been stood and a caravan that stands")
    assert assemblies_of(caravan, [], VOCABULARY).get("drivetrain", 0.0) < 0.1
    outboard = [("lower_unit", "gearcase"), ("propeller", "prop nut"), ("powerhead", "powerhead"), ("fuel", "float")]
    likely = assemblies_of(_log(), outboard, VOCABULARY)
    assert likely["lower_unit"] > 0.9 and likely.get("tailstock", 0.0) < 0.05
    where_told = {machine.key for machine in VOCABULARY.machines if machine.where_told}
    any_may_have = {key for key, one in VOCABULARY.assemblies.items() if not one.on or set(one.on) - where_told}
    assert set(assemblies_of(_log(), [], VOCABULARY)) == any_may_have, "nothing is known yet"


@pytest.mark.parametrize(
    ("machine", "parts", "wanted"),
    [
        (
            "Harrowby ride-on mower",
            ("belt", "idler pulley", "sector gear", "drive belt"),
            ["deck", "deck", "steering", "transmission"],
        ),
        ("Dunmore tiller", ("tine", "tine bolt", "chaincase", "forward belt"), ["tines"] * 3 + ["transmission"]),
        (
            "Kesgrave compressor",
            ("cylinder head", "safety valve", "vee belt"),
            ["compressor", "receiver", "motor_drive"],
        ),
        ("Ferncliffe bandsaw", ("thrust bearing", "trunnion bolt", "drive belt"), ["saw", "table", "motor_drive"]),
        ("Everyday wheelchair", ("castor bearing", "wheel lock", "footplate"), ["castors", "brakes", "frame"]),
        (
            "Merrow box trailer",
            ("hitch", "coupling head", "tow ball", "brake shoe", "brake drum", "hitch bolt", "drawbar"),
            ["hitch"] * 3 + ["brakes"] * 2 + ["hitch"] * 2,
        ),
        ("Dunmore tractor", ("drawbar", "hitch pin", "brake disc"), ["hitch", "hitch", "brakes"]),
        (
            "Lindal forklift",
            ("mast", "mast roller", "fork", "tilt cylinder", "brake shoe", "steer axle"),
            ["mast"] * 4 + ["brakes", "steering"],
        ),
        ("Lindal lift truck", ("fork", "lift chain"), ["mast", "mast"]),
        # the same names on machines of other sorts
        ("Penhallow 175 motorcycle", ("fork", "fork seal", "fork oil"), ["front_suspension"] * 3),
        ("Kerrin dinghy", ("mast",), [""]),
        (
            "Harrowby saloon",
            ("trunnion", "trunnion bolt", "drive belt", "fan belt"),
            ["front_suspension", "front_suspension", "cooling", "cooling"],
        ),
        ("Harrowby mower", ("cylinder head", "head bolt"), ["top_end", "top_end"]),
    ],
)
def test_a_part_stands_where_its_sort_of_machine_has_it(
    machine: str, parts: tuple[str, ...], wanted: list[str]
) -> None:
    assert _said(*parts, machine=machine) == wanted


def test_a_sort_that_nobody_speaks_of_is_none_of_the_machines() -> None:
    mower = sort_of(_log(machine="Harrowby ride-on mower"), [], VOCABULARY)
    assert mower.likely["steering"] == 1.0 and mower.parts["belt"] == "deck"
    plain = sort_of(_log(machine="Harrowby mower"), [], VOCABULARY)
    assert "steering" not in plain.likely and not plain.parts
    assert "saw" not in sort_of(_log(), [], VOCABULARY).likely


@pytest.mark.parametrize("machine", ["Fusee clock", "Treadle sewing machine", "Fairground organ", "Big juice mixer"])
def test_a_machine_of_no_known_trade_has_no_headings_of_vehicles(machine: str) -> None:
    parts = ("back plate", "barrel", "escape wheel", "yoke", "flywheel key", "thumb screw", "belt shifter", "tyre")
    page = page_context(_log(*parts, machine=machine), VOCABULARY)
    assert [group.title for group in page.groups] == ["In the order told"]
    assert not page.cautions and not any(group.caution for group in page.groups)


def test_a_word_that_any_machine_may_have_opens_no_heading_alone() -> None:
    assert _said("thumb screw") == _said("yoke") == _said("leather belt") == [""]
    assert _said("back plate", "wheel") == ["", ""]
    assert _said("fork yoke", "fork leg", "yoke")[2] == "front_suspension", "among others of its own it does"
    assert _said("yoke", machine="Merrow 250 motorcycle") == ["front_suspension"], "and on a machine that has one"


def test_parts_that_no_machine_known_here_has_tell_of_another() -> None:
    shared = [("top_end", "barrel"), ("body", "door"), ("wheels", "wheel"), ("workholding", "arbor")]
    names = "snail,rack hook,gathering pallet,fly,pallets,crutch,great wheel,strike train,gut line,click,warning pin"
    strange = [("", name) for name in names.split(",")]
    assert sort_of(_log(), shared, VOCABULARY).other < 0.8
    assert sort_of(_log(), [*shared, *strange], VOCABULARY).other > 0.9
    own = [
        ("top_end", "piston"),
        ("front_suspension", "fork leg"),
        ("transmission", "layshaft"),
        ("clutch", "clutch plate"),
    ]
    assert sort_of(_log(), [*own, *shared, *strange[:4]], VOCABULARY).other < 0.5, "a few names of one's own are usual"


def test_a_name_of_small_words_says_that_the_machine_is_of_no_trade() -> None:
    part = [("ignition", "points")]
    assert sort_of(_log(machine="Fusee clock"), part, VOCABULARY).other > 0.99
    assert sort_of(_log(machine="Village mangle"), part, VOCABULARY).other > 0.9
    for name in ("Hallimore 500", "Tarrock", "Lorimer van", "Brolga outfit", "Ketteridge bench drill"):
        assert sort_of(_log(machine=name), part, VOCABULARY).other < 0.9, name


def test_a_machine_is_what_it_is_introduced_as_and_a_pump_is_none() -> None:
    common = [("brakes", "caliper"), ("wheels", "tyre"), ("fasteners", "bolt"), ("brakes", "pad")]
    introduced = _log(spoken="Right, so this is the Tamsin 90 saloon, and it's the brakes.")
    assert assemblies_of(introduced, common, VOCABULARY)["diff"] > 0.9, "no trailer, though a trailer has few parts"
    pumped = _log(spoken="I've pumped it up with the bike pump, and the bike pump leaks, that bike pump again")
    assert assemblies_of(pumped, common, VOCABULARY) == assemblies_of(_log(), common, VOCABULARY)


def test_the_page_goes_by_the_name_that_is_said() -> None:
    spoken = "Right, so this is the Tamsin 90 saloon, and it's the brakes."
    assert page_context(_log(spoken=spoken), VOCABULARY).title == "Tamsin 90 saloon"
    assert page_context(_log(spoken=spoken, machine="Merrow 12"), VOCABULARY).title == "Merrow 12"
    assert page_context(_log(spoken="Right, so the brakes."), VOCABULARY).title == "a"


def test_a_name_says_where_its_part_is() -> None:
    places = PartPlaces(VOCABULARY, set(VOCABULARY.assemblies), "british")
    assert max(places.of("quill spring").items(), key=lambda item: item[1])[0] == "headstock"
    assert max(places.of("caliper bolt").items(), key=lambda item: item[1])[0] == "brakes"
    assert "fuel" in places.of("float") and "fuel" not in places.of("wheel bearing float")
    assert places.of("washer") == places.of("engine") == places.of("") == {}
    american = PartPlaces(VOCABULARY, set(VOCABULARY.assemblies), "american")
    assert american.of("trunk")["body"] > 1 and american.of("boot").get("body", 0.0) < 0.5 < places.of("boot")["body"]


def test_what_can_hurt_keeps_its_caution() -> None:
    assert _said("layshaft", "mainshaft", "selector fork", "wheel spindle", "gear lever")[3] == "wheels"


def test_no_heading_takes_a_caution_away() -> None:
    """Brakes that stand under another heading, or under none, are brakes all the same."""
    page = page_context(_log("layshaft", "brake shoe", "mainshaft", "selector fork"), VOCABULARY)
    assert any("Brakes:" in group.caution for group in page.groups)
    assert [text for text, _ in page.cautions if text.startswith("Brakes:")]
    caliper = page_context(_log("layshaft", "caliper", "mainshaft", "selector fork"), VOCABULARY)
    assert [text for text, _ in caliper.cautions if text.startswith("Brakes:")]
    hub = page_context(_log("layshaft", "hub", "mainshaft", "wire clip", "selector fork", "end float"), VOCABULARY)
    assert not hub.cautions, "one word that many machines have, and words of no part"
    quiet = page_context(_log("layshaft", "mainshaft", "selector fork"), VOCABULARY)
    assert not any(group.caution for group in quiet.groups) and not quiet.cautions


def test_what_is_called_a_brake_keeps_its_caution_by_any_name() -> None:
    own = page_context(_log("layshaft", "mainshaft", "parking brake shoulder", "selector fork"), VOCABULARY)
    assert [text for text, _ in own.cautions if text.startswith("Brakes:")]
    bare = page_context(_log("wheel spindle", "tyre", "brake", "wheel rim", machine="Green bicycle"), VOCABULARY)
    assert [text for text, _ in bare.cautions if text.startswith("Brakes:")]
    pawl = page_context(_log("wheel spindle", "tyre", "pawl", "wheel rim", machine="Green bicycle"), VOCABULARY)
    assert not [text for text, _ in pawl.cautions if text.startswith("Brakes:")]


def test_a_caution_names_a_heading_that_the_log_has() -> None:
    page = page_context(_log("layshaft", "brake caliper", "mainshaft", "selector fork"), VOCABULARY)
    titles = {group.title for group in page.groups}
    assert page.cautions and all(set(where.split(", ")) <= titles for _, where in page.cautions)


def test_a_spark_plug_is_no_mains_work() -> None:
    page = page_context(_log("spark plug", "HT lead", machine="Merrow 250 motorcycle"), VOCABULARY)
    assert page.cautions and not any("mains" in text for text, _ in page.cautions)


def test_a_log_of_another_vocabulary_keeps_its_places() -> None:
    log = _log("wobble plate")
    told = replace(log, events=(replace(log.events[0], assembly="hydraulics"),))
    assert list(course_of(told, VOCABULARY).places.values()) in (["hydraulics"], [""])


def test_sorts_and_machines_are_those_of_the_vocabulary() -> None:
    assert set(SORTS) <= set(VOCABULARY.assemblies)
    machines = {machine.key for machine in VOCABULARY.machines}
    for assembly in VOCABULARY.assemblies.values():
        assert set(assembly.on) <= machines and (not assembly.hazard or assembly.hazard in VOCABULARY.cautions)
    assert all(any(machine in a.on for a in VOCABULARY.assemblies.values()) for machine in machines)


def _spoken_before(spoken: str, *parts: str) -> list[str]:
    """Places of parts that are fitted after something was said."""
    log = _log(*parts, spoken=spoken)
    log = replace(log, words=tuple(Word(word.text, at, at + 1) for at, word in enumerate(log.words)))
    log = replace(log, events=tuple(replace(event, start_ms=event.start_ms + 1000) for event in log.events))
    places = course_of(log, VOCABULARY).places
    return [places[event] for event in log.events]


def test_a_part_called_for_short_is_where_its_whole_name_says() -> None:
    assert _spoken_before("now the swinging arm that was the wobble", "arm", "dome nut")[0] == "rear_suspension"
    assert _spoken_before("now the drum that was the wobble", "arm", "dome nut")[0] != "rear_suspension"


def test_what_something_is_done_with_is_no_place() -> None:
    assert _spoken_before("so I cleaned it with a wire wheel and hub then", "nut") == [""]


def test_a_verb_is_no_part() -> None:
    assert _spoken_before("so that I can wheel it out", "nut") == [""]
    assert _spoken_before("so that is the wheel and hub then", "nut") == ["wheels"]
