"""A checklist is checked before it is used; each fault is told at its line and column."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from siltline.errors import WrongUse
from siltline.rules.faults import Faulty
from siltline.rules.files import check, checklist_from, checklist_texts, plan_from
from siltline.rules.places import OWN_FACTS
from siltline.rules.sheet.systems import PartKind
from siltline.rules.wording import languages
from siltline.units import UNITS
from support import wide

TOP = """\
checklist: small
title: A small checklist
phases:
  - first.yaml
  - second.yaml
"""
FIRST = """\
phase: first
title: First
steps:
  - step: power-off
    do: Cut the power to {house}.
    why: Water joins live parts.
    takes-out: Electric power
    proof:
      - {photo: before, count: 2}
    caution: [{DANGER: It kills.}]
    source: common practice
  - step: room-seen
    each: room
    when: {wetted: true}
    do: Photograph {place}.
    why: It is gone once the work starts.
    needs: [power-off]
    source:
      - title: A printed guide
        edition: "1992"
        section: 7
        seen: read
      - common practice
"""
SECOND = """\
phase: second
title: Second
steps:
  - step: outlet-out
    each: electrical-part
    when: {kind: [outlet, switch], wetted: true, house.source: river}
    do: Replace {place} on {circuit} in {room}.
    why: Mud stays inside.
    measure: Prove {circuit} dead first.
    needs:
      - room-seen
      - everywhere: power-off
      - phase: first
    hold-point: Nobody touches {place}.
    proof:
      - reading: moisture
        unit: "%"
        at-most: 15 %
        at-least: 1 %
      - licence: electrician
    caution:
      - DANGER: A live part kills.
      - NOTICE: Keep {place} for the insurer.
    source: common practice
  - step: power-on
    do: Put the power back.
    why: The house needs it.
    puts-back: power-off
    needs: [outlet-out]
    source: common practice
"""
GOOD = {"checklist.yaml": TOP, "first.yaml": FIRST, "second.yaml": SECOND}


def told(texts: dict[str, str]) -> list[str]:
    """Return the faults of a checklist, as they are printed."""
    with pytest.raises(Faulty) as fault:
        checklist_from(texts)
    return str(fault.value).splitlines()


def changed(file: str, old: str, new: str) -> dict[str, str]:
    assert GOOD[file].count(old) == 1, old
    return {**GOOD, file: GOOD[file].replace(old, new)}


def test_a_good_checklist_has_no_fault() -> None:
    found = checklist_from(GOOD)
    assert found.phases == {"first": {"en": "First"}, "second": {"en": "Second"}}
    assert [placed.rule.step for placed in found.rules] == [
        "power-off",
        "room-seen",
        "outlet-out",
        "power-on",
    ]
    assert [placed.line for placed in found.rules] == [4, 12, 4, 25]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("wetted: true", "wetted: false"),
        ("wetted: true", "wetted: [true, false]"),
        ("house.source: river", "house.crawl-space: false"),
        ("house.source: river", "room.floor: carpet"),
        ("house.source: river", "circuit.reaches-water: true"),
        ("Replace {place}", "Replace {{ {place} }}"),
        ("    proof:\n      - reading", "    proof:\n      - photo: before\n      - reading"),
        ("        at-most: 15 %\n        at-least: 1 %\n", ""),
        ("needs: [outlet-out]", "needs: []"),
    ],
)
def test_other_good_checklists_have_no_fault_either(old: str, new: str) -> None:
    checklist_from(changed("second.yaml", old, new))


IDS = "should be small letters, digits and single hyphens (a-z, 0-9, -), 60 at most"
TEXT = "should be text; put it in quotes if it looks like something else"
NEED = "a need names one of: step, everywhere, phase"
PROOF = "a proof names one of: photo, same-spot, reading, quantity, contact-time, licence, label"
UNIT = "a reading needs its unit"
SEEN = (
    "say how well this source was seen (seen: read, summary or memory), or write 'common practice'"
)
PLACES = ", ".join(OWN_FACTS)
PARTS = ", ".join(get_args(PartKind))
WHY = "why: The house needs it."
LICENCE = "- licence: electrician"
SOURCE = "    source: common practice\n  - step"
AFTER = "      - phase: first"


# what stands in the second phase, what is put there, and the fault
@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("title: Second\n", "", "1:1: 'title' is missing here"),
        ("phase: second", "phase: The second", f"1:8: 'phase' {IDS}"),
        ("title: Second", "title: [Second]", f"2:8: 'title' {TEXT}"),
        (
            "title: Second",
            "title: Second\nnote: x",
            (
                "3:1: 'note' is not known here; known: "
                "conditions, cautions, sources, phase, title, steps"
            ),
        ),
        ("step: power-on", "step: Power-on", f"25:11: 'step' {IDS}"),
        (
            "step: power-on",
            f"step: {'x' * 61}",
            "25:11: 'step' is too long (60 characters at most)",
        ),
        (f"    {WHY}\n", "", "25:5: 'why' is missing here"),
        (WHY, "why: ''", "27:10: 'why' is empty; write something or leave the key out"),
        (WHY, f"why: {'x' * 2001}", "27:10: 'why' is too long (2000 characters at most)"),
        (WHY, "why: true", f"27:10: 'why' {TEXT}"),
        (
            "puts-back:",
            "put-back:",
            "28:5: 'put-back' is not known here; did you mean 'puts-back'?",
        ),
        (
            "each: electrical-part",
            "each: electric-part",
            "5:11: 'each' cannot be 'electric-part'; did you mean 'electrical-part'?",
        ),
        (
            "each: electrical-part",
            "each: attic",
            f"5:11: 'each' cannot be 'attic'; known: {PLACES}",
        ),
        (
            "needs: [outlet-out]",
            "needs: outlet-out",
            "29:12: 'needs' should be a list (lines that start with -)",
        ),
        (
            AFTER,
            "      - after: first",
            "13:9: 'after' is not known here; known: step, everywhere, phase",
        ),
        (AFTER, "      - {phase: first, step: power-off}", f"13:9: {NEED}"),
        (AFTER, "      - {}", f"13:9: {NEED}"),
        (LICENCE, "- {licence: electrician, photo: x}", f"20:9: {PROOF}"),
        (LICENCE, "- {count: 2}", f"20:9: {PROOF}"),
        (LICENCE, "- {licence: electrician, unit: h}", "20:9: 'unit' says nothing about a licence"),
        ('        unit: "%"\n', "", f"16:9: {UNIT}"),
        (SOURCE, "  - step", "4:5: 'source' is missing here"),
        (SOURCE, "    source: A book\n  - step", f"24:13: {SEEN}"),
        (
            SOURCE,
            "    source: [{title: A book, seen: once}]\n  - step",
            "24:36: 'seen' cannot be 'once'; known: read, summary, memory",
        ),
        (
            SOURCE,
            "    source: {title: A book, seen: read, page: 2}\n  - step",
            "24:41: 'page' is not known here; known: title, edition, section, seen, says, as",
        ),
    ],
)
def test_a_fault_of_shape_is_told_where_it_stands(old: str, new: str, fault: str) -> None:
    assert told(changed("second.yaml", old, new)) == [f"second.yaml:{fault}"]


NEVER = "so this step could never appear"
STRANGE = "is not a placeholder"
NAMES = "known: place, room, circuit, house"
BRACE = "a brace stands alone here; placeholders look like {place}"
EXAMPLES = "type for example 15.2% (units: %)."
LIKEST = "min, m, h, d, qt, pt, mm, mL, m3, m2, in, ft"
PART = "is not a fact of each electrical-part"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        # facts and their values
        ("kind: [", "kinds: [", f"6:12: 'kinds' {PART}; did you mean 'kind'?"),
        (
            "house.source:",
            "house.colour:",
            f"6:50: 'house.colour' {PART}; did you mean 'house.source'?",
        ),
        ("house.source:", "source:", f"6:50: 'source' {PART}; did you mean 'house.source'?"),
        (
            "[outlet, switch]",
            "[outlet, plug]",
            (f"6:18: 'kind' is never 'plug', {NEVER}; known: {PARTS}"),
        ),
        (
            "[outlet, switch]",
            "Outlet",
            f"6:18: 'kind' is never 'Outlet', {NEVER}; did you mean 'outlet'?",
        ),
        (
            "wetted: true",
            "wetted: yes",
            f"6:44: 'wetted' is never 'yes', {NEVER}; known: true, false",
        ),
        # steps and phases
        (
            "- room-seen",
            "- room-sen",
            "11:9: there is no step 'room-sen'; did you mean 'room-seen'?",
        ),
        (
            "everywhere: power-off",
            "everywhere: power-of",
            "12:9: there is no step 'power-of'; did you mean 'power-off'?",
        ),
        (AFTER, "      - phase: fist", "13:9: there is no phase 'fist'; did you mean 'first'?"),
        (AFTER, "      - phase: attic", "13:9: there is no phase 'attic'; known: first, second"),
        # putting back
        (
            "puts-back: power-off",
            "puts-back: roof",
            "28:16: there is no step 'roof'; known: power-off, room-seen, outlet-out, power-on",
        ),
        (
            "puts-back: power-off",
            "puts-back: outlet-out",
            "28:16: 'outlet-out' takes nothing out, so nothing can be put back",
        ),
        # placeholders
        (
            "Replace {place}",
            "Replace {plase}",
            f"7:9: '{{plase}}' {STRANGE}; did you mean 'place'?",
        ),
        ("Replace {place}", "Replace {}", f"7:9: '{{}}' {STRANGE}; {NAMES}"),
        ("Replace {place}", "Replace {0}", f"7:9: '{{0}}' {STRANGE}; {NAMES}"),
        (
            "Replace {place}",
            "Replace {place.name}",
            f"7:9: '{{place.name}}' {STRANGE}; did you mean 'place'?",
        ),
        ("Replace {place}", "Replace {place", f"7:9: {BRACE}"),
        ("Replace {place}", "Replace place}", f"7:9: {BRACE}"),
        ("Mud stays inside.", "Mud {stays} inside.", f"8:10: '{{stays}}' {STRANGE}; {NAMES}"),
        (
            "{circuit} dead",
            "{circit} dead",
            f"9:14: '{{circit}}' {STRANGE}; did you mean 'circuit'?",
        ),
        ("touches {place}", "touches {it}", f"14:17: '{{it}}' {STRANGE}; {NAMES}"),
        ("Keep {place}", "Keep {rom}", f"23:17: '{{rom}}' {STRANGE}; did you mean 'room'?"),
        # bounds
        (
            'unit: "%"',
            "unit: humidity",
            f"17:15: 'humidity' is not a unit; {len(UNITS)} are known, the likest are: {LIKEST}",
        ),
        ('unit: "%"', "unit: percent", "17:15: 'percent' is not a unit; did you mean '%'?"),
        ('unit: "%"', "unit: sqft", "17:15: 'sqft' is not a unit; did you mean 'ft2'?"),
        ('unit: "%"', "unit: FT2", "17:15: 'FT2' is not a unit; did you mean 'ft2'?"),
        (
            "Replace {place} on {circuit} in {room}.",
            "{place}",
            '7:9: a text that begins with { must stand in quotes: "{place}"',
        ),
        ("at-most: 15 %", "at-most: 15", f"18:18: '15' is not a number with its unit; {EXAMPLES}"),
        (
            "at-most: 15 %",
            "at-most: 15 in",
            "18:18: '15 in' has another kind of unit than is wanted here: %.",
        ),
        (
            "at-least: 1 %",
            "at-least: low",
            f"19:19: 'low' is not a number with its unit; {EXAMPLES}",
        ),
    ],
)
def test_a_fault_between_rules_is_told_where_it_stands(old: str, new: str, fault: str) -> None:
    found = told(changed("second.yaml", old, new))
    if old.startswith("puts-back"):  # nobody puts the power back any more, which is told too
        assert found.pop(0).startswith("first.yaml:7:16: ")
    assert found == [f"second.yaml:{fault}"]


def test_a_fault_of_what_is_taken_out_is_told_where_it_stands() -> None:
    assert told(changed("first.yaml", "Electric power", "'{power}'")) == [
        f"first.yaml:7:16: '{{power}}' {STRANGE}; {NAMES}"
    ]


def test_a_thing_that_nobody_puts_back_is_told_where_it_is_taken_out() -> None:
    (only,) = told(changed("second.yaml", "    puts-back: power-off\n", ""))
    assert only == (
        "first.yaml:7:16: 'power-off' takes something out and no step puts it back; add a step "
        "with puts-back: power-off"
    )


def test_a_step_id_that_is_used_twice_is_told_with_where_it_stands_already() -> None:
    (only,) = told(changed("first.yaml", "step: room-seen", "step: power-off"))[:1]
    assert only == (
        "first.yaml:12:11: the step 'power-off' stands at first.yaml:4 already; step ids are "
        "used once"
    )


@pytest.mark.parametrize(
    "first", ["[outlet-out]", "[phase: second]", "[everywhere: power-on]", "[power-off, power-on]"]
)
def test_steps_that_wait_for_each_other_are_told_as_a_ring(first: str) -> None:
    (only,) = told(changed("first.yaml", "needs: [power-off]", f"needs: {first}"))
    place, words, ring = only.split(": ")
    steps = ring.split(" -> ")
    # it stands where the first of the ring says what it needs
    stands = {"room-seen": "first.yaml:17:12", "outlet-out": "second.yaml:11:7"}
    assert place == stands.get(steps[0], "second.yaml:29:12")
    assert words == "these steps wait for each other in a ring"
    assert steps[0] == steps[-1]
    assert {"room-seen", "outlet-out"} <= set(steps)


# At each room, the steps of all rooms would wait for each other and none could ever begin.
def test_a_step_that_waits_for_itself_everywhere_is_a_ring_too() -> None:
    (only,) = told(changed("first.yaml", "needs: [power-off]", "needs: [everywhere: room-seen]"))
    assert only.startswith("first.yaml:17:")


@pytest.mark.parametrize("words", ["{place:99}", "{place: the wall}", "{place!r}", "{place!z}"])
def test_a_placeholder_is_a_name_and_nothing_more(words: str) -> None:
    (only,) = told(changed("first.yaml", "Photograph {place}.", f"'Photograph {words}.'"))
    assert only.startswith("first.yaml:15:9: ")


def test_two_phases_of_one_id_are_told() -> None:
    texts = changed("second.yaml", f"{AFTER}\n", "")
    texts["second.yaml"] = texts["second.yaml"].replace("phase: second", "phase: first")
    (only,) = told(texts)
    assert only.startswith("second.yaml:1:8: ")


@pytest.mark.parametrize("word", ["WARNINGS", "warning", "ATTENTION"])
def test_a_signal_word_that_is_none_is_told_at_the_word(word: str) -> None:
    (only,) = told(changed("second.yaml", "DANGER:", f"{word}:"))
    assert only.startswith(f"second.yaml:22:9: '{word}'")


@pytest.mark.parametrize("count", ["0", "10", "many", "2.5"])
def test_a_count_that_is_none_is_told_as_a_count(count: str) -> None:
    (only,) = told(changed("first.yaml", "count: 2", f"count: {count}"))
    assert only.startswith("first.yaml:9:32: 'count'")
    assert "letters" not in only


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("checklist: small", "checklist: A small one", f"1:12: 'checklist' {IDS}"),
        ("title: A small checklist\n", "", "1:1: 'title' is missing here"),
        ("- second.yaml", "- third.yaml", "5:5: there is no file 'third.yaml' beside this one"),
        ("- second", "- ../second", "5:5: there is no file '../second.yaml' beside this one"),
        ("- second", "- /second", "5:5: there is no file '/second.yaml' beside this one"),
    ],
)
def test_a_fault_of_the_top_file_is_told_there(old: str, new: str, fault: str) -> None:
    assert told(changed("checklist.yaml", old, new)) == [f"checklist.yaml:{fault}"]


@pytest.mark.parametrize("empty", ["phases: []", "phases:"])
def test_a_checklist_without_phases_is_told(empty: str) -> None:
    (only,) = told(changed("checklist.yaml", TOP[TOP.index("phases:") :], empty))
    assert only.startswith(f"checklist.yaml:3:{8 if empty == 'phases:' else 9}: ")


@pytest.mark.parametrize("empty", ["steps: []", "steps:", "steps: {}"])
def test_a_phase_without_steps_is_told(empty: str) -> None:
    (only, *_) = told(changed("second.yaml", SECOND[SECOND.index("steps:") :], empty))
    assert only.startswith("second.yaml:3:")


@pytest.mark.parametrize("name", GOOD)
@pytest.mark.parametrize("text", ["", "words", "- a\n", "\tx", "a: &x 1", "a: {"])
def test_a_file_that_is_no_mapping_is_told_and_never_raised(name: str, text: str) -> None:
    assert told({**GOOD, name: text})[0].startswith(f"{name}:1:")


def test_all_faults_of_one_file_are_told_at_once_in_the_order_of_its_lines() -> None:
    text = (
        SECOND.replace("each: electrical-part", "each: attic")
        .replace("      - phase: first", "      - {}")
        .replace("    puts-back:", "    put-back:")
    )
    assert [line.partition(": ")[0] for line in told({**GOOD, "second.yaml": text})] == [
        "second.yaml:5:11",
        "second.yaml:13:9",
        "second.yaml:28:5",
    ]


def test_the_faults_of_all_files_are_told_at_once() -> None:
    shapes = {
        **GOOD,
        "first.yaml": FIRST.replace("title: First", "name: First"),
        "second.yaml": SECOND.replace("title: Second", "name: Second"),
    }
    assert {line.partition(":")[0] for line in told(shapes)} == {"first.yaml", "second.yaml"}
    between = {
        **GOOD,
        "first.yaml": FIRST.replace("Photograph {place}", "Photograph {it}"),
        "second.yaml": SECOND.replace("      - room-seen", "      - room-sen"),
    }
    assert [line.partition(": ")[0] for line in told(between)] == [
        "first.yaml:15:9",
        "second.yaml:11:9",
    ]


def test_a_file_that_is_no_yaml_does_not_hide_the_faults_of_the_others() -> None:
    texts = {
        **GOOD,
        "first.yaml": FIRST.replace("title: First", "name: First"),
        "second.yaml": SECOND + "  - [\n",
    }
    assert {line.partition(":")[0] for line in told(texts)} == {"first.yaml", "second.yaml"}


def test_the_faults_of_a_checklist_and_of_a_sheet_are_told_together() -> None:
    sheet = "house: x\nrooms:\n  a:\n    name: A\n"
    bad_sheet = sheet.replace("name", "named")
    bad = changed("second.yaml", "      - room-seen", "      - room-sen")
    assert plan_from(GOOD, sheet, "house.yaml").house == "x"
    for texts, house, files in (
        (bad, bad_sheet, {"second.yaml", "house.yaml"}),
        (bad, sheet, {"second.yaml"}),
        (GOOD, bad_sheet, {"house.yaml"}),
    ):
        with pytest.raises(Faulty) as fault:
            plan_from(texts, house, "house.yaml")
        assert {f.file for f in fault.value.faults} == files


def write(folder: Path, texts: dict[str, str]) -> Path:
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_a_checklist_is_checked_by_its_folder_or_by_any_of_its_files(tmp_path: Path) -> None:
    folder = write(tmp_path / "good", GOOD)
    for path in (folder, *(folder / name for name in GOOD)):
        assert check(path).summary == "Clean: a checklist (steps: 4, phases: 2)."
    bad = write(tmp_path / "bad", changed("second.yaml", "      - room-seen", "      - room-sen"))
    for path in (bad, *(bad / name for name in GOOD)):
        with pytest.raises(Faulty, match=r"second\.yaml:11:9: there is no step 'room-sen'"):
            check(path)


def test_a_file_that_no_checklist_names_is_not_read_as_part_of_one(tmp_path: Path) -> None:
    found = check(write(tmp_path / "more", {**GOOD, "notes.yaml": "- [\n"}))
    assert found.summary.startswith("Clean: a checklist (steps: 4")
    (forgotten,) = found.advice
    assert str(forgotten).startswith("notes.yaml:1:1: this file lies beside checklist.yaml")


def test_a_house_sheet_is_known_from_a_checklist(tmp_path: Path) -> None:
    sheet = tmp_path / "house.yaml"
    sheet.write_text("house: x\nrooms:\n  a:\n    name: A\n", encoding="utf-8")
    assert check(sheet).summary == "Clean: a house sheet (rooms: 1, electrical parts: 0)."


def test_where_no_checklist_is_it_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(
        WrongUse, match=r"no checklist: a checklist is a folder with a checklist\.y"
    ):
        check(tmp_path)
    with pytest.raises(WrongUse):
        check(tmp_path / "nothing.yaml")
    lonely = tmp_path / "phase.yaml"
    lonely.write_text(FIRST, encoding="utf-8")
    assert check(lonely).summary.startswith("Clean: a phase of steps (2)")


def test_the_texts_of_a_checklist_come_with_its_top_first(tmp_path: Path) -> None:
    folder = write(tmp_path / "good", GOOD)
    assert checklist_texts(folder) == GOOD
    assert list(checklist_texts(folder)) == ["checklist.yaml", "first.yaml", "second.yaml"]
    assert checklist_texts(folder / "checklist.yaml") == GOOD


def test_a_forbidden_act_in_another_language_makes_the_rule_speak_it() -> None:
    never = "never: [{act: {en: Do not., es: No.}, because: It spreads.}]"
    text = SECOND.replace("    measure: Prove {circuit} dead first.\n", f"    {never}\n")
    (placed,) = (
        rule for rule in checklist_from({**GOOD, "second.yaml": text}).rules
        if rule.rule.step == "outlet-out"
    )  # fmt: skip
    assert languages(placed.rule) == ["es"]


def test_the_reason_of_an_override_is_held_to_its_placeholders_too() -> None:
    texts = {"checklist.yaml": wide.TOP, "names.yaml": wide.NAMES, "one.yaml": wide.ONE}
    texts["one.yaml"] = wide.ONE.replace("because: They differ.", 'because: "{plase} differ."')
    (fault,) = told(texts)
    assert "'{plase}' is not a placeholder; did you mean 'place'?" in fault
