"""What ships is fit to be followed: sourced, cautioned, short, and right where it matters most."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from siltline import resources
from siltline.errors import WrongUse
from siltline.judge import fold, judge
from siltline.record import seal
from siltline.rules.checklist import Checklist, PlacedRule, plainly
from siltline.rules.faults import Faulty
from siltline.rules.files import check, checklist_from, checklist_texts, plan_from, text_of
from siltline.rules.plan import SIGNAL_WORDS, Plan, Step, whole_to_json
from siltline.rules.rule import COMMON_PRACTICE
from siltline.sentences import say
from siltline.units import quantity
from support.house import HOUSE

NAMES = resources.checklist_names()


@cache
def checklist(name: str = "river-flood") -> Checklist:
    return checklist_from(checklist_texts(resources.folder("checklists") / name))


@cache
def plan() -> Plan:
    return plan_from(checklist().texts, HOUSE, "house.yaml")


def step(step_id: str) -> Step:
    (found,) = (step for step in plan().steps if step.id == step_id)
    return found


def rule(name: str) -> PlacedRule:
    (found,) = (placed for placed in checklist().rules if placed.rule.step == name)
    return found


RULES = [
    pytest.param(placed, id=placed.rule.step) for name in NAMES for placed in checklist(name).rules
]


def cautions(placed: PlacedRule) -> list[tuple[str, str]]:
    return [(c.told[0], c.told[1]["en"]) for c in placed.rule.caution]


# every checklist


@pytest.mark.parametrize("name", NAMES)
def test_a_checklist_that_ships_is_clean(name: str) -> None:
    found = check(resources.folder("checklists") / name)
    assert found.summary.startswith("Clean: ")
    assert found.advice == ()
    assert checklist(name).name == name


@pytest.mark.parametrize("name", NAMES)
def test_every_file_of_a_checklist_that_ships_has_steps_or_names(name: str) -> None:
    rules = {placed.source.file for placed in checklist(name).rules}
    names = {
        source.file
        for shared, source in checklist(name).shared
        if shared.conditions or shared.cautions or shared.sources
    }
    assert rules | names == checklist(name).texts.keys() - {"checklist.yaml"}


def test_every_file_that_checklists_share_is_taken_by_one_of_them() -> None:
    shared = {path.name for path in (resources.folder("checklists") / "shared").glob("*.yaml")}
    taken = {Path(file).name for name in NAMES for file in checklist(name).texts if "/" in file}
    assert shared == taken


@pytest.mark.parametrize("placed", RULES)
def test_every_step_says_where_it_comes_from_and_how_well_that_was_seen(placed: PlacedRule) -> None:
    assert placed.rule.source
    for source in placed.rule.source:
        assert source.title == COMMON_PRACTICE or source.seen in SEEN


SEEN = ("read", "summary", "memory")  # best first
RESTS_ON = (*SEEN, COMMON_PRACTICE)


def rests_on(placed: PlacedRule) -> str:
    """Return how well the best source of a rule was seen; or that it is common practice alone."""
    return min((s.seen or COMMON_PRACTICE for s in placed.rule.source), key=RESTS_ON.index)


@pytest.mark.parametrize("name", NAMES)
def test_what_the_steps_of_a_checklist_rest_on_is_counted(
    name: str, figure: Callable[[str], None]
) -> None:
    counts = Counter(map(rests_on, checklist(name).rules))
    assert counts.keys() <= set(RESTS_ON)
    told = ", ".join(f"{kind} {counts[kind]}" for kind in RESTS_ON)
    figure(f"{name}: {counts.total()} steps, by the best source of each: {told}")


@pytest.mark.parametrize("placed", RULES)
def test_every_step_near_electricity_or_under_the_house_has_a_caution(placed: PlacedRule) -> None:
    if placed.phase in ("electrical", "crawl-space") or placed.rule.each in (
        "electrical-part",
        "circuit",
        "crawl-space",
    ):
        assert cautions(placed)


# ANSI Z535.4 (2007), read as quoted by a maker of signs: DANGER and WARNING are of death or
# serious injury, CAUTION of minor or moderate injury, NOTICE of no injury at all.
# So each names, of what it warns, a harm as grave as its word, and no graver one.
DEATH = r"kill|\bdie\b|\bdies\b|death|deadly"
GRAVE = (
    DEATH
    + r"|serious|cripple|\bfire\b|burn|explode|shock|poison|\bfall|give way|comes? down|roof down"
)
SLIGHT = r"\beyes?\b|\bears?\b|lungs|skin|irritat"
HARMS = {"DANGER": DEATH, "WARNING": GRAVE, "CAUTION": SLIGHT}
INJURY = re.compile(
    r"\b(kill|kills|killed|die|dies|death|injur\w*|shock\w*|live|burn\w*)\b", re.IGNORECASE
)
NO_PERSON = re.compile(r"does not kill mould")


@pytest.mark.parametrize("placed", RULES)
def test_a_signal_word_is_as_grave_as_what_it_warns_of(placed: PlacedRule) -> None:
    words = {word for word, _ in cautions(placed)}
    assert words <= set(SIGNAL_WORDS)
    for word, text in cautions(placed):
        assert word == "NOTICE" or re.search(HARMS[word], text, re.IGNORECASE), text
        if word == "NOTICE":
            assert not INJURY.search(text)
        if word == "CAUTION":
            assert not re.search(r"\b(kill\w*|die|dies|death|serious\w*)\b", text, re.IGNORECASE)
    said = " ".join(map(plainly, (placed.rule.do, placed.rule.why, placed.rule.hold_point)))
    if words == {"NOTICE"}:
        assert not INJURY.search(NO_PERSON.sub("", said))


# Twenty-five words are what a tired reader keeps in mind at once: common practice.
@pytest.mark.parametrize("placed", RULES)
@pytest.mark.parametrize("part", ["do", "why"])
def test_no_sentence_is_longer_than_twenty_five_words(placed: PlacedRule, part: str) -> None:
    for sentence in re.split(r"(?<=[.!?])\s+", plainly(getattr(placed.rule, part))):
        assert len(re.findall(r"[\w{][^\s]*", sentence)) <= 25, sentence


@pytest.mark.parametrize("placed", RULES)
def test_every_step_shows_something_and_ends_its_sentences(placed: PlacedRule) -> None:
    rule = placed.rule  # what is not there cannot be shown; a named trade gives its licence
    assert rule.proof or all(way.proof or way.who or way.way == "none" for way in rule.ways or [])
    assert rule.proof or rule.ways
    for text in (
        *map(plainly, (placed.rule.do, placed.rule.why)),
        *(text for _, text in cautions(placed)),
    ):
        assert text.endswith((".", "?"))
        assert "  " not in text


@pytest.mark.parametrize("name", NAMES)
def test_every_need_and_everything_put_back_names_a_step_that_is_there(name: str) -> None:
    rules = {placed.rule.step: placed for placed in checklist(name).rules}
    phases = checklist(name).phases.keys()
    for placed in rules.values():
        for need in placed.rule.needs:
            assert need.phase in phases or (need.step or need.everywhere) in rules
        if placed.rule.puts_back:
            taken = rules[placed.rule.puts_back]
            assert taken.rule.takes_out
            assert taken.rule.each == placed.rule.each  # so that each thing finds its way back


def test_every_need_of_a_plan_is_a_step_of_the_plan_and_what_is_out_is_put_back() -> None:
    found = {step.id: step for step in plan().steps}
    for one in found.values():
        assert set(one.needs) <= found.keys()
    assert {s.puts_back for s in found.values()} - {""} == {
        s.id for s in found.values() if s.takes_out
    }


# electrical parts

# The kinds of part that no rule lets anybody keep.
PARTS = {
    "breaker": ["breaker", "gfci-breaker", "afci-breaker"],
    "outlet": ["outlet", "gfci-outlet"],
    "switch": ["switch", "dimmer"],
}


@pytest.mark.parametrize("part", PARTS)
def test_a_wetted_part_is_replaced_by_a_licensed_electrician_behind_a_dead_circuit(
    part: str,
) -> None:
    placed = rule(f"{part}-replaced")
    assert placed.rule.each == "electrical-part"
    assert placed.rule.when == {"kind": PARTS[part], "wetted": True}
    assert placed.rule.ways is None
    assert placed.rule.override is None
    assert "replace" in plainly(placed.rule.do)
    assert "licensed electrician" in plainly(placed.rule.do)
    assert [proof.licence for proof in placed.rule.proof if proof.licence] == ["electrician"]
    assert {"before", "after"} <= {proof.photo for proof in placed.rule.proof}
    # never "dry it and try": the makers' list as issued by a safety foundation, seen in a summary
    assert not re.search(
        r"\b(dry|repair|recondition|reuse)\b", plainly(placed.rule.do), re.IGNORECASE
    )
    assert re.search(r"never dried and used again", " ".join(text for _, text in cautions(placed)))


def test_a_breaker_cites_the_code_that_bars_reconditioning_it() -> None:
    # NFPA 70 (NEC), edition 2023, 240.2(A): molded-case circuit breakers; seen in a summary
    (source,) = (
        s for s in step("breaker-replaced/breaker-4").sources if "National Electrical Code" in s
    )
    assert re.search(r"2023, 240\.2\(A\)", source)
    assert source.endswith("(seen in a summary)")


def test_the_insides_of_a_panel_are_barred_from_reconditioning_too() -> None:
    # NFPA 70, edition 2023, 408.2(A): panelboards; seen in a summary
    placed = rule("panel-inside-replaced")
    assert placed.rule.when == {"kind": "panel", "wetted": True}
    assert placed.rule.ways is None
    assert placed.rule.override is None
    assert any("408.2(A)" in (s.section or "") for s in placed.rule.source)


@pytest.mark.parametrize(
    ("wetted", "circuit"),
    [
        ("outlet-replaced/low-outlet", "circuit-4"),
        ("outlet-replaced/hidden-outlet", "circuit-4"),
        ("breaker-replaced/breaker-4", "circuit-4"),
        ("switch-replaced/low-switch", "circuit-5"),
    ],
)
def test_a_wetted_part_waits_for_its_own_circuit_to_be_proved_dead(
    wetted: str, circuit: str
) -> None:
    assert step(wetted).needs == (f"prove-dead/{circuit}",)
    dead = step(f"prove-dead/{circuit}")
    assert dead.hold_point
    assert "power-off/house" in dead.needs
    assert {proof.kind for proof in dead.proof} == {"photo", "licence"}
    assert dead.cautions[0].word == "DANGER"


def test_an_outlet_of_unknown_height_says_prove_dead_first_and_then_what_to_measure() -> None:
    found = step("outlet-replaced/hidden-outlet")
    assert found.measure == (
        "Measure the height of the bottom of outlet behind the range above the finished floor."
    )
    assert found.measure_after == "Prove circuit 4 dead first."
    stamp = {"at": "2026-03-12T08:00:00.000Z", "device": "aa", "by": None}
    laid = seal("laid", {"plan": whole_to_json(plan())}, parents=(), **stamp)
    view = judge(fold([laid])).steps[found.id]
    assert view.state == "measure"
    assert view.measure == f"Prove circuit 4 dead first. {found.measure}"


def test_a_part_above_every_line_of_its_room_has_no_step() -> None:
    # 44 in stands above the highest wet reading, 38 in; only where its cable runs is asked
    here = [s for s in plan().steps if s.place == "high-outlet"]
    assert {s.rule for s in here} == {"cable-replaced", "wet-cable-judged", "old-cable-judged"}
    assert all(ask.path[-1] in ("cable", "cable-runs") for s in here for ask in s.asks)
    known = HOUSE.replace("    height: 44 in\n", "    height: 44 in\n    cable-wet: false\n")
    laid = plan_from(checklist().texts, known, "house.yaml").steps
    assert [s.id for s in laid if s.place == "high-outlet"] == []


def test_the_power_comes_back_last_and_by_a_licensed_hand() -> None:
    back = step("power-back/house")
    assert back.puts_back == "power-off/house"
    electrical = {s.id for s in plan().steps if s.phase == "electrical"} - {back.id}
    assert set(back.needs) >= electrical | {"work-inspected/house", "parts-listed/house"} & {
        s.id for s in plan().steps
    }
    assert any(proof.kind == "licence" for proof in back.proof)


# brick veneer


def test_the_weep_holes_of_a_wetted_brick_wall_are_shown_before_and_after() -> None:
    found = step("weep-holes-open/north")
    assert [(proof.kind, proof.name) for proof in found.proof] == [
        ("photo", "before"),
        ("photo", "after"),
    ]
    assert rule("weep-holes-open").rule.when == {
        "outer": True,
        "cladding": "brick-veneer",
        "wetted": True,
    }
    # International Residential Code R703.8.6: at most 33 in apart, 3/16 in across; in a summary
    assert any("33 in" in source and "3/16 in" in source for source in found.sources)
    assert any("engineer" in caution.text for caution in found.cautions)


# crawl space


def test_nobody_goes_under_the_house_before_it_is_safe() -> None:
    entry = step("entry-safe/crawl-space")
    assert entry.hold_point
    assert entry.cautions[0].word == "DANGER"
    assert "power-off/house" in entry.needs
    assert {"prove-dead/circuit-4", "prove-dead/circuit-5"} <= set(entry.needs)
    pumped = "water-pumped/crawl-space"  # from outside, before anybody goes in
    assert pumped in entry.needs
    for other in plan().steps:
        if other.place_kind == "crawl-space" and other.id not in (entry.id, pumped):
            assert entry.id in ancestors(other.id)


def ancestors(step_id: str) -> set[str]:
    """Return all steps that come before a step."""
    found: set[str] = set()
    todo = list(step(step_id).needs)
    while todo:
        need = todo.pop()
        if need not in found:
            found.add(need)
            todo += step(need).needs
    return found


def test_the_poly_comes_out_and_goes_back_only_over_dry_soil() -> None:
    out, dry, back = (step(f"{name}/crawl-space") for name in ("poly-out", "soil-dry", "poly-back"))
    assert out.takes_out
    assert back.puts_back == out.id
    assert dry.id in back.needs
    assert dry.hold_point  # so leaving it out, or ticking it without its proof, releases nothing
    assert out.id in dry.needs
    (reading,) = (proof for proof in dry.proof if proof.kind == "reading")
    # wood under 15 % before it is closed in: a state extension service, 6 October 2005, read
    assert quantity(reading.at_most, "ratio").si == Decimal("0.15")
    assert reading.count == 2


# photographs


def test_wet_photographs_are_bagged_and_then_frozen_at_about_nought_fahrenheit() -> None:
    bagged, frozen = step("wet-photos-bagged/album"), step("wet-photos-frozen/album")
    assert frozen.needs == (bagged.id,)
    assert "paper between" in bagged.do
    assert "48 hours" in frozen.do
    (reading,) = (proof for proof in frozen.proof if proof.kind == "reading")
    # US National Archives, salvage, part 7 (read): about 0 F, colder does no harm; 0 F is -18 C
    assert quantity(reading.at_most, "temperature").si == quantity("0 F").si
    assert quantity(reading.at_most).in_unit("C") == -18
    assert reading.at_least == ""
    assert any("glass" in caution.text for caution in frozen.cautions)


def test_dry_photographs_and_other_belongings_are_not_frozen() -> None:
    for old, new in (("wet: true", "wet: false"), ("kind: photographs", "kind: books")):
        other = plan_from(checklist().texts, HOUSE.replace(old, new), "house.yaml")
        assert not [s.id for s in other.steps if s.place == "album" and "frozen" in s.id]


def test_a_file_that_is_named_by_a_way_out_of_the_checklist_is_never_taken() -> None:
    phase = "phase: a\ntitle: A\nsteps:\n  - {step: s, do: D., why: W., source: common practice}\n"
    for name in ("../../a.yaml", "/a.yaml", "a.txt", "b/../../a.yaml"):
        top = f"checklist: c\ntitle: C\nphases: ['{name}']\n"
        with pytest.raises(Faulty) as told:
            checklist_from({"checklist.yaml": top, name: phase})
        assert told.value.faults[0].line == 3


def test_a_checklist_that_is_not_there_or_cannot_be_read_is_told(tmp_path: Path) -> None:
    with pytest.raises(WrongUse) as missing:
        checklist_texts(tmp_path / "none")
    assert str(missing.value) == say("files.missing", name=tmp_path / "none")
    with pytest.raises(WrongUse) as unreadable:
        text_of(tmp_path / "house.yaml")
    assert "house.yaml" in str(unreadable.value)
