"""Every sentence that the program says exists, gets what it names, and lets nothing raw through.

The calls are read from the source, so that a sentence of a rare fault is held as well as one
of every day.
"""

from __future__ import annotations

import ast
import json
import re
import string
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import get_args, get_origin

import pytest
from hypothesis import given
from hypothesis import strategies as st

import siltline
from siltline.claim.report import WORDS
from siltline.cli.root import COMMANDS
from siltline.job.contact import _MARKS
from siltline.judge.board import STATES
from siltline.judge.deadlines import RULES as DEADLINES
from siltline.judge.drying import STATES as DRYING_STATES
from siltline.judge.finding import WEIGHTS
from siltline.judge.ledger import UNDOABLE
from siltline.judge.points import AIRS
from siltline.judge.proofs import _SAID
from siltline.judge.references import STANDINGS
from siltline.reckon import RECKONINGS
from siltline.reckon.table import BLOWS
from siltline.record.connect import _TOLD
from siltline.record.copying import _SAID as _SAID_COPY
from siltline.rules import water
from siltline.rules.compare import _TOLD as _TOLD_CHANGES
from siltline.rules.computing import SINGLES
from siltline.rules.condition import OPERATORS
from siltline.rules.house import House
from siltline.rules.layers import LAYERS
from siltline.rules.rule import SourceRule
from siltline.rules.section.glyphs import mark_of
from siltline.rules.shapes import _SENTENCES, Shape
from siltline.rules.sheet.asking import ask_key, fields_of, is_shape, kind_of, unwrapped
from siltline.rules.sheet.systems import CableRuns
from siltline.rules.yamlfaults import _PLAINLY
from siltline.science import distance, equipment, outside
from siltline.science.forecast import REASONS
from siltline.screens.deeds import DEEDS
from siltline.screens.helping import GLOSSARY
from siltline.screens.starting import OFFERED
from siltline.screens.themes import PALETTES
from siltline.sentences import BASE, catalogue, languages, retold, say, speak
from siltline.text import HIDDEN_CATEGORIES
from siltline.tour import CLAIM_NAME, JOB_NAME
from siltline.units import UNITS

PACKAGE = Path(siltline.__file__).parent
TREES = {
    path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
    for path in sorted(PACKAGE.rglob("*.py"))
}
# Functions whose arguments at these places are keys: say(key), _sign(about, fine, key, key), ...
SPEAKERS = {"say": (0,), "refuse": (1,), "enter_does": (0,), "_just_one": (2,), "_sign": (2, 3)}
Scope = ast.Module | ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Call:
    """A call that says something: where, its keys as far as they can be read, its keywords."""

    where: str
    keys: tuple[str, ...]  # a family ends in "."
    given: frozenset[str] | None  # None where a ** cannot be read from the source


def _keys(node: ast.expr) -> tuple[str, ...]:
    """Return the keys that an expression can be; of an f-string, what stands before its hole."""
    match node:
        case ast.Constant(value=str(key)):
            return (key,)
        case ast.IfExp(body=one, orelse=other):
            return (*_keys(one), *_keys(other))
        case ast.JoinedStr(values=[ast.Constant(value=str(family)), *_]):
            return (family,)
    return ()


def _dict_keys(scope: Scope, name: str) -> frozenset[str] | None:
    """Return the keys that a name of a function holds, where the source writes them all."""
    found: set[str] = set()
    for node in ast.walk(scope):
        match node:
            case ast.Assign(targets=[ast.Name(id=target)], value=ast.Dict(keys=keys)) if (
                target == name
            ):
                if not all(isinstance(key, ast.Constant) for key in keys):
                    return None
                found |= {str(key.value) for key in keys if isinstance(key, ast.Constant)}
            case ast.Assign(
                targets=[
                    ast.Subscript(value=ast.Name(id=target), slice=ast.Constant(value=str(key)))
                ]
            ) if target == name:
                found.add(key)
    return frozenset(found) or None


def _given(call: ast.Call, scope: Scope) -> frozenset[str] | None:
    found: set[str] = set()
    for keyword in call.keywords:
        if keyword.arg is not None:
            found.add(keyword.arg)
            continue
        inner = _dict_keys(scope, keyword.value.id) if isinstance(keyword.value, ast.Name) else None
        if inner is None:
            return None
        found |= inner
    return frozenset(found)


def _functions(tree: ast.Module) -> Iterator[tuple[Scope, ast.Call]]:
    """Yield each call with the innermost function around it."""

    def walk(node: ast.AST, scope: Scope) -> Iterator[tuple[Scope, ast.Call]]:
        for child in ast.iter_child_nodes(node):
            inner = child if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef) else scope
            if isinstance(child, ast.Call):
                yield inner, child
            yield from walk(child, inner)

    yield from walk(tree, tree)


def _name(call: ast.Call) -> str:
    match call.func:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""


def _calls() -> Iterator[Call]:
    for file, tree in TREES.items():
        for scope, call in _functions(tree):
            for at in SPEAKERS.get(_name(call), ()):
                if len(call.args) > at:
                    where = f"{file}:{call.lineno}"
                    yield Call(where, _keys(call.args[at]), _given(call, scope))


def _finding_calls() -> Iterator[Call]:
    """Yield what a review says: a code stands for the finding's sentence and its remedy's."""
    for file in TREES:
        if file.startswith("judge/"):
            yield from _findings_of(file)


def _findings_of(file: str) -> Iterator[Call]:
    for scope, call in _functions(TREES[file]):
        if _name(call) == "finding":
            where = f"{file}:{call.lineno}"
            codes = _keys(call.args[0])
            # the clock's codes are finished by what `Placed.clock` can be when it is wrong
            whole = [f"{c}{k}" for c in codes for k in (WRONG_CLOCKS if c.endswith("-") else ("",))]
            keys = tuple(f"{family}.{code}" for code in whole for family in ("finding", "remedy"))
            yield Call(where, keys, _given(call, scope))


def _asked(shape: type[Shape], *path: str) -> list[str]:
    """Return the ends of the questions for every key of the house sheet."""
    found = set()
    for key, (_, hint) in fields_of(shape).items():
        bare, _ = unwrapped(hint)
        inner = next((one for one in (bare, *get_args(bare)) if is_shape(one)), None)
        if kind_of(hint) is not None:
            found.add(ask_key((*path, key)))
        if inner is not None:
            found |= set(_asked(inner, *path, key, *(["x"] if inner is not bare else [])))
    return sorted(found)


# What a value of a sheet is not, where it is out of bounds.
ODD = ["house.height-odd", "house.length-odd", "house.level-odd", "house.altitude-odd",
       "house.no-count", "house.no-year"]  # fmt: skip


def _said_by(function: str, *, all_arguments: bool = False) -> list[str]:
    """Return the words that calls of a function that tells numbers finish a key with."""
    return sorted(
        {
            key
            for file, tree in TREES.items()
            if file.startswith(("cli/", "reckon/", "science/"))
            for _, call in _functions(tree)
            if _name(call) == function
            for argument in (call.args if all_arguments else call.args[:1])
            for key in _keys(argument)
        }
    )


def _said_by_work() -> list[str]:
    """Return the pieces of long work that are told as they are reached."""
    calls = (c for tree in TREES.values() for _, c in _functions(tree) if _name(c) == "reached")
    return sorted({key for call in calls for key in _keys(call.args[0])})


CLOCKS = ("checked", "unchecked", "unset", "impossible")  # `Placed.clock`
WRONG_CLOCKS = ("unset", "impossible")
SAYING = list(_calls())
FINDING = list(_finding_calls())
_SEEN = next(a for a in get_args(SourceRule.model_fields["seen"].annotation) if get_args(a))
_TOUR_FILES = (JOB_NAME, f"{CLAIM_NAME}/report.pdf", "house.yaml", "photos")
# family -> every end that its f-string can have
# What `photos/signs.py` can say of a photo.
SIGNS = [
    *("cut-off", "zeros", "small", "dark", "burnt", "blurred", "undrawn"),
    *("changed-later", "other-size", "no-maker-note"),
]


def _groups(shape: type[Shape]) -> Iterator[str]:
    """Yield the keys of a sheet that hold places of their own."""
    for key, (_, hint) in fields_of(shape).items():
        bare, _ = unwrapped(hint)
        if get_origin(bare) is dict:
            yield key
            yield from _groups(get_args(bare)[1])
        elif is_shape(bare):
            yield from _groups(bare)


_CAUTIONS = [name for one in RECKONINGS.values() for name in one.cautions]
FAMILIES: Mapping[str, list[str]] = {
    "acted.air-": list(AIRS),
    "acted.reckoned-": list(RECKONINGS),
    "change.": ["came", "gone", "changed"],  # `Change.kind`
    "change.about.": list(_TOLD_CHANGES),
    "condition.bound.": [f"{sign}{op}" for sign in ("", "not-") for op in OPERATORS],
    "ask.field.": _asked(House),
    "field.": [*_asked(House), "rooms"],
    "house.no-": ["year", "count"],
    "place.": [*SINGLES, "attic", "outside"],  # and the other spaces
    "calc.caution.": sorted({*_said_by("cautions", all_arguments=True), *_CAUTIONS}),
    "card.reckon.": list(RECKONINGS),
    "reckon.blows-": [way for way in BLOWS if way != "out"],
    "reckon.brief.": list(RECKONINGS),
    "reckon.field.": sorted(
        {ask.words or ask.name for one in RECKONINGS.values() for ask in one.asks}
    ),
    "reckon.pick.": list(RECKONINGS),
    "reckon.told.": list(RECKONINGS),
    "calc.mark.": list(get_args(equipment.Mark)),
    "calc.out.": sorted({*_said_by("line"), *_said_by("Line"), *equipment.MACHINES}),
    "calc.place.": list(distance.VERDICTS),
    "calc.reach.": ["yes", "no", "too-close"],
    "calc.verdict.": list(outside.VERDICTS),
    "dimension.": sorted({unit.dimension for unit in UNITS.values()}),
    "air.outside-": list(outside.VERDICTS),
    "dry.": list(DRYING_STATES),
    "drying.because.": list(REASONS),
    "drying.state.": list(DRYING_STATES),
    "form.air-": list(AIRS),
    "form.meter-": ["tolerance", "resolution"],  # what measuring.py asks
    "meter.": ["tolerance", "resolution"],
    "drying.remedy.": list(REASONS),
    "reference.": list(STANDINGS),
    "opt.calc.": _said_by("amount"),
    "science.what.": _said_by("within"),
    "doctor.kind.": ["fixed", "removable", "network", "memory", "disc"],  # `Drive.kind`
    "doctor.verdict.": ["fine", "look", "unknown"],  # `Sign.verdict`
    "finding.": sorted({k.partition(".")[2] for call in FINDING for k in call.keys}),
    "remedy.": sorted({k.partition(".")[2] for call in FINDING for k in call.keys}),
    "form.thing-": ["kind", "height", "wet", "quantity", "value"],  # what entering.py asks
    "help.": list(COMMANDS),
    "sheet.this.": sorted(set(_groups(House))),
    "start.help.": [*OFFERED, "job"],
    "pick.wet-": ["seen", "again", "goes-on", "dried", "end"],  # what wetting.py lets one say
    "key.": [deed.says for deed in DEEDS],
    "due.do.": [rule.id for rule in DEADLINES],
    "due.from.": sorted({rule.counts for rule in DEADLINES}),
    "due.title.": [rule.id for rule in DEADLINES],
    "glossary.": list(GLOSSARY),
    "help-page.": ["keys", "marks", "cautions", "words", "sources"],
    "help-key.": ["steps", "card", *(deed.says for deed in DEEDS)],
    "kind.": sorted(UNDOABLE),
    "look.": list(PALETTES),
    "number.": ["exact", "more", "other", "unknown"],  # `Verdict.number`
    "report.": list(WORDS),
    "report.clock.": list(CLOCKS),
    "report.with.": ["licence", "way", "registration"],
    "report.word.": ["ticked", "left-out"],  # `Word.kind`
    "report.zone.": ["camera", "satellite", "site", "none"],  # `Placed.zone_from`
    "said.": ["ticked", "left-out", "unticked"],  # `Word.kind`
    "sign.": SIGNS,
    "section.layer.": list(LAYERS),
    "section.line.": [field.replace("_", "-") for field in water.LINES],
    "section.runs.": [*get_args(CableRuns), "unknown"],
    "section.stated.": [
        "wall-finish",
        "ceiling",
        "clear-height",
        "structure",
        "standing-water",
        "sewage",
        "burners-draw-air",
    ],  # what gathering.py states
    "section.verdict.": [mark_of(wetted) for wetted in (True, False, None)],
    "source.": list(get_args(_SEEN)),
    "start.": ["begin", "tour", "practice", "guided", "file"],  # the rows of starting.py
    "state.": list(STATES),
    "tour.": [name.rsplit("/")[-1].split(".")[-1] for name in _TOUR_FILES],
    "weight.": list(WEIGHTS),
    "wet.": ["running", "over", "early", "whole"],  # `Standing.state`
    "working.": _said_by_work(),
}
# file -> what it says with a key that stands in a table, and the values given with it
TABLES: Mapping[str, tuple[list[str], set[str]]] = {
    "job/doctor.py": ([], set()),  # `_sign` hands on what it is given
    "screens/asking.py": (
        ["form.length", "form.fact", "form.licence", "form.label", "form.way"],
        {"what", "name"},
    ),
    "job/contact.py": (list(_MARKS.values()), {"by", "at"}),
    "judge/proofs.py": (
        ["proof.at-most", "proof.at-least", *_SAID.values()],
        {"bound", "n", "name"},
    ),
    "job/drying.py": (
        ["drying.air", "drying.air-never"],
        {"temp", "rh", "emc", "needed", "name", "newest", "goal", "limit", "held", "wanted"},
    ),
    "job/points.py": (["point.material", "meter.corrects"], {"value", "known"}),
    "cli/points.py": (
        ["point.line", "point.line-reference"],
        {"point", "place", "reads", "where", "newest", "at"},
    ),
    "photos/sources.py": (["add.raw", "add.video", "add.sidecar"], set()),
    "record/copying.py": (list(_SAID_COPY.values()), set()),
    "record/connect.py": ([key for _, key in _TOLD.values()], {"name", "fault"}),
    "rules/lay.py": (["ask.measure", "ask.find-out"], {"what"}),
    "rules/rule.py": ([], set()),  # `_just_one` hands on what it is given
    "rules/shapes.py": (list(_SENTENCES.values()), {"key"}),
    "rules/sheet/values.py": (ODD, {"text"}),
    "rules/water.py": (list(water.LINES.values()), set()),
    "rules/yamlfaults.py": (list(_PLAINLY.values()), set()),
    "rules/yamltext.py": ([], set()),  # `refuse` hands on what it is given
    "screens/keys.py": ([], set()),  # `enter_does` hands on what it is given
}


def _forms(key: str) -> list[str]:
    sentence = catalogue()[key]
    return [sentence] if isinstance(sentence, str) else list(sentence.values())


def _named(key: str) -> set[str]:
    """Return the values that a sentence names; `n` too where it chooses the form."""
    names = {name for form in _forms(key) for _, name, _, _ in string.Formatter().parse(form)}
    return {n for n in names if n is not None} | (
        {"n"} if not isinstance(catalogue()[key], str) else set()
    )


def _whole(key: str) -> list[str]:
    return [f"{key}{end}" for end in FAMILIES[key]] if key in FAMILIES else [key]


def test_what_is_said_is_in_the_catalogue() -> None:
    missing = [
        f"{call.where}: {whole}"
        for call in [*SAYING, *FINDING]
        for key in call.keys
        for whole in _whole(key)
        if whole not in catalogue()
    ]
    assert missing == []


@pytest.mark.parametrize("family", FAMILIES)
def test_every_member_of_a_family_of_sentences_is_in_the_catalogue(family: str) -> None:
    assert FAMILIES[family]
    assert [key for key in _whole(family) if key not in catalogue()] == []


def test_every_family_and_every_table_that_the_program_says_is_known_here() -> None:
    families = {key for call in SAYING for key in call.keys if key not in catalogue()}
    assert families == FAMILIES.keys()
    assert {call.where.partition(":")[0] for call in SAYING if not call.keys} == TABLES.keys()


@pytest.mark.parametrize("file", TABLES)
def test_a_sentence_of_a_table_is_there_and_is_given_what_it_names(file: str) -> None:
    keys, given_there = TABLES[file]
    assert [key for key in keys if key not in catalogue()] == []
    assert [key for key in keys if not _named(key) <= given_there] == []


def test_the_page_of_the_report_shows_every_word_that_is_handed_to_it() -> None:
    page = (PACKAGE / "claim" / "report.typ").read_text(encoding="utf-8")
    assert set(re.findall(r"\bw\.([a-z-]+)", page)) == set(WORDS)


def test_no_sentence_is_left_that_nobody_says() -> None:
    words = {
        node.value
        for tree in TREES.values()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    said = words | {key for family in FAMILIES for key in _whole(family)}
    assert sorted(catalogue().keys() - said) == []


def test_a_sentence_is_given_every_value_that_it_names() -> None:
    lacking = [
        f"{call.where}: {whole} lacks {sorted(_named(whole) - call.given)}"
        for call in [*SAYING, *FINDING]
        if call.given is not None
        for key in call.keys
        for whole in _whole(key)
        if not _named(whole) <= call.given
    ]
    assert lacking == []


def test_few_calls_hide_from_this_file_what_they_give() -> None:
    hidden = [call.where for call in [*SAYING, *FINDING] if call.given is None]
    assert len(hidden) < 0.05 * len(SAYING)


def test_a_sentence_is_plain_text_with_plain_placeholders() -> None:
    odd = [
        (key, form)
        for key in catalogue()
        for form in _forms(key)
        if not form
        or any(unicodedata.category(char) in HIDDEN_CATEGORIES for char in form)
        or any(
            name is not None and (not name.isidentifier() or spec or conversion)
            for _, name, spec, conversion in string.Formatter().parse(form)
        )
    ]
    assert odd == []


def test_a_sentence_that_counts_has_a_form_for_one_and_for_others() -> None:
    for key, sentence in catalogue().items():
        if isinstance(sentence, str):
            continue
        assert set(sentence) == {"one", "other"}
        for n in (0, 1, 2, 1000):
            values = {**dict.fromkeys(_named(key), "x"), "n": n}
            assert say(key, **values) == sentence["one" if n == 1 else "other"].format(**values)


def test_a_sentence_stands_once_in_the_catalogue() -> None:
    twice: list[str] = []

    def pairs(found: list[tuple[str, object]]) -> dict[str, object]:
        keys = [key for key, _ in found]
        twice.extend(key for key in set(keys) if keys.count(key) > 1)
        return dict(found)

    for path in (PACKAGE / "catalogue").glob("*.json"):
        json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=pairs)
    assert twice == []


def test_a_value_is_put_in_visible_and_is_never_read_as_a_sentence() -> None:
    hostile = "\x1b]0;x\x07 {job} {0} %s [red]x[/red] \u202e\ud800"
    told = say("add.refused", n=1, names=hostile, because="because")
    assert told == (r"\x1b]0;x\x07 {job} {0} %s [red]x[/red] \u202e\ud800: not taken in, because.")


@given(st.text(st.characters()))
def test_no_value_brings_anything_hidden_into_a_sentence(value: str) -> None:
    told = say("add.refused", n=1, names=value, because=value)
    assert all(unicodedata.category(char) not in HIDDEN_CATEGORIES for char in told)


def test_a_sentence_that_is_not_there_or_lacks_a_value_is_a_mistake_of_ours() -> None:
    with pytest.raises(KeyError):
        say("no.such.sentence")
    with pytest.raises(KeyError):
        say("add.refused", n=1, names="x")
    with pytest.raises(KeyError):
        say("review.open")


OTHERS = [language for language in languages() if language != BASE]
# What these say is written into the record, or is a word of the house sheet: it stays English,
# whoever sits before the screen. A field of the sheet (`ask.field.`) is asked for on a screen too;
# what a plan holds of it is said in English by `sentences.in_base`.
STORED = (
    *("ask.find-out", "ask.measure", "condition.", "fact.", "lay.checklist", "lay.corrected"),
    *("plan.", "place.", "practice.house", "source.", "wetted.", "why.goes-"),
)
# What a screen never shows, though it can be reached from one: faults of a checklist, which are
# for who writes one, two files put together, and arithmetic whose values no screen takes in.
NEVER_SHOWN = ("advice.", "merge.", "rules.", "science.")


def _imported(file: str) -> Iterator[str]:
    """Yield the files of ours that a file imports, wherever in it."""
    for node in ast.walk(TREES[file]):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("siltline"):
            for whole in (node.module or "", *(f"{node.module}.{a.name}" for a in node.names)):
                path = "/".join(whole.split(".")[1:])
                yield from {f"{path}.py", f"{path}/__init__.py"} & TREES.keys()


def _below_the_screens() -> set[str]:
    """Return the screens and every file that they use, however far down."""
    found: set[str] = set()
    waiting = [file for file in TREES if file.startswith("screens/")]
    while waiting:
        file = waiting.pop()
        if file not in found:
            found.add(file)
            waiting += _imported(file)
    return found


def _shown() -> set[str]:
    """Return the sentences that a screen can show, as far as the source tells.

    What `claim/` says with a key of the report is in the claim alone, which is English.
    """
    files = _below_the_screens()
    found: set[str] = set()
    for call in (*SAYING, *FINDING):
        file = call.where.partition(":")[0]
        if file in files:
            keys = {whole for key in call.keys or TABLES[file][0] for whole in _whole(key)}
            claimed = "report." if file.startswith("claim/") else ()
            found |= {key for key in keys if not key.startswith(claimed)}
    return {key for key in found if not key.startswith((*STORED, *NEVER_SHOWN))}


@pytest.fixture
def _back_to_base() -> Iterator[None]:
    yield
    speak(BASE)


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_has_the_same_values_and_the_same_plurals(language: str) -> None:
    base, other = catalogue(), catalogue(language)
    assert other
    assert sorted(other.keys() - base.keys()) == []
    for key, sentence in other.items():
        ours = base[key]
        assert isinstance(sentence, str) == isinstance(ours, str), key
        pairs = (
            [(ours, sentence)]
            if isinstance(ours, str) or isinstance(sentence, str)
            else [(ours[form], sentence[form]) for form in ("one", "other")]
        )
        for one, two in pairs:
            names = [
                sorted(str(n) for _, n, _, _ in string.Formatter().parse(str(form)) if n)
                for form in (one, two)
            ]
            assert names[0] == names[1], key
        if not isinstance(sentence, str):
            assert sentence.keys() == {"one", "other"}, key


# What is pressed or typed as it stands: keys of the form, options of commands.
_AS_IT_STANDS = re.compile(r"Ctrl\+\w|\bEsc\b|\b(?:Enter|Tab):|--[a-z]+")


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_names_the_same_keys_and_options(language: str) -> None:
    for key, sentence in catalogue(language).items():
        forms = [sentence] if isinstance(sentence, str) else list(sentence.values())
        for ours, theirs in zip(_forms(key), forms, strict=True):
            assert sorted(_AS_IT_STANDS.findall(ours)) == sorted(_AS_IT_STANDS.findall(theirs)), key


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_is_plain_text_and_says_nothing_that_is_stored(language: str) -> None:
    for key, sentence in catalogue(language).items():
        assert not key.startswith(STORED), key
        for form in [sentence] if isinstance(sentence, str) else sentence.values():
            assert form == form.strip() or form.startswith((" ", ", ")), key
            assert not any(unicodedata.category(char) in HIDDEN_CATEGORIES for char in form), key


@pytest.mark.parametrize("language", OTHERS)
def test_all_that_a_screen_shows_is_said_in_the_other_language(language: str) -> None:
    shown = _shown()
    assert shown >= {"start.head", "moment.unread", "sign.dark", "verify.whole", "field.waterline"}
    assert sorted(shown - catalogue(language).keys()) == []


# Sentences of a screen that name an option, since no key does what they advise.
ONLY_BY_COMMAND = {
    *("record.changed", "record.damaged", "verify.faults"),  # to salvage
    *("tour.again", "tour.cannot", "tour.taken"),  # to lay the tour out elsewhere
    "drying.remedy.may-never",  # of a computation; a screen says `drying.dry-the-air` in its place
}


def test_a_screen_names_no_option_of_a_command() -> None:
    named = {key for key in _shown() if any(re.search(r"--[a-z]", form) for form in _forms(key))}
    assert named == ONLY_BY_COMMAND


def test_what_only_commands_say_is_not_taken_for_what_a_screen_shows() -> None:
    commands = {"cli.help", "recent.none", "readings.columns", "act.state"}
    assert commands < catalogue().keys()
    assert not _shown() & commands
    assert not any(file.startswith("cli/") for file in _below_the_screens())


@pytest.mark.usefixtures("_back_to_base")
def test_a_sentence_that_the_other_language_lacks_is_said_in_english() -> None:
    assert speak("es_MX.UTF-8") == "es"
    assert say("state.todo") == "Por hacer"
    assert say("desk.tray", n=1) == "1 foto sin paso"
    assert "rules.faults" not in catalogue("es")
    assert say("rules.faults", n=2) == "2 faults."
    assert speak("xx") == BASE
    assert say("state.todo") == "To do"


@pytest.mark.usefixtures("_back_to_base")
def test_the_name_of_a_key_can_be_told_again_from_any_language() -> None:
    for language in languages():
        said = [sentence for key, sentence in catalogue(language).items() if key.startswith("key.")]
        assert len(said) == len(set(map(str, said))), "a name stands for one key alone"
    for now in languages():
        speak(now)
        for before in languages():
            for key, sentence in catalogue(before).items():
                if key.startswith("key."):
                    assert retold(str(sentence), "key.") == say(key)
    assert retold("no such name", "key.") == "no such name"
