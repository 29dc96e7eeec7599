"""What is reckoned on a step: what each computation asks, which cautions stand above it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.reckon import given as giving
from siltline.reckon.dose import dose
from siltline.reckon.fan import Airs, crawl
from siltline.reckon.machines import CLASSES, KINDS, machines
from siltline.reckon.words import Line, Told
from siltline.sentences import say

# Which way a fan blows: outdoors, into the space, only inside it; or it runs no more.
BLOWS = ("out", "in", "inside", "off")
_OF_THE_SPACE = ("space", "vents", "vents-covered", "exhaust")


class Asked(Struct, frozen=True):
    """Something that a computation asks.

    Attributes:
        name: as people type it in a command, and `reckon.field.NAME` in words.
        kind: as `given.read` has it.
        needed: whether there is no answer without it.
        choices: the words it may be, or any.
        example: how it is typed.
        words: end of the sentence's key where that is not the name.
    """

    name: str
    kind: str
    needed: bool = False
    choices: tuple[str, ...] = ()
    example: str = ""
    words: str = ""

    @property
    def label(self) -> str:
        """Return what is asked, in words."""
        return say(f"reckon.field.{self.words or self.name}")

    def read(self, typed: str) -> Any:
        """Return what a text says, in SI.

        Raises:
            WrongUse: it says nothing of that kind.
        """
        if not self.choices:
            return giving.read(self.kind, typed)
        word = typed.strip().casefold()
        if word not in self.choices:
            known = ", ".join(self.choices)
            raise WrongUse(say("reckon.no-choice", value=typed, known=known))
        return word


class Reckoning(Struct, frozen=True):
    """A computation on a step: what it asks, its cautions (`calc.caution.NAME`), how it is done."""

    name: str
    asks: tuple[Asked, ...]
    cautions: tuple[str, ...]
    works: Callable[[Mapping[str, Any]], Told]

    @property
    def told_cautions(self) -> list[str]:
        """Return its cautions in words, as they stand above whatever comes out."""
        return [say(f"calc.caution.{name}") for name in self.cautions]


def _fan(given: Mapping[str, Any]) -> Told:
    """Tell what the fans of a space do; one that does not blow out carries nothing off."""
    from siltline.science.air import SEA_LEVEL  # noqa: PLC0415
    from siltline.science.doubt import Tolerance  # noqa: PLC0415

    airs = Airs(given["inside"], given["outside"], SEA_LEVEL, Tolerance())
    each, fans, blows = given.get("airflow"), given.get("fans", 1), given["blows"]
    if blows != "out":
        told = crawl(airs, {"area": given["area"], "height": given["height"]})
        lines = [line for line in told.lines if line.name in _OF_THE_SPACE]
        return Told({**told.facts, "blows": blows}, tuple(lines), (say(f"reckon.blows-{blows}"),))
    told = crawl(airs, {**given, "airflow": each * fans if each is not None else None})
    warnings = [say("reckon.draws-wet")] if airs.found.verdict == "wets" else []
    return Told({**told.facts, "blows": blows}, told.lines, tuple(warnings))


def _dose(given: Mapping[str, Any]) -> Told:
    """Tell a mix by the label: its ppm is wanted, or what a mix that is named is held to."""
    mixed = given.get("bleach") is not None or given.get("water") is not None
    label = given.get("label")
    return dose({**given, "target": None if mixed else label, "label": label if mixed else None})


def _machines(given: Mapping[str, Any]) -> Told:
    """Tell the machines to begin with, and how many stand there."""
    told = machines(given, rooms_too=given.get("rooms") != 0)
    stand = {
        "movers": Line("placed-movers", str(given.get("movers"))),
        "dehumidifiers": Line("placed-dehumidifiers", str(given.get("dehumidifiers"))),
    }
    there = [line for name, line in stand.items() if given.get(name) is not None]
    return Told(told.facts, (*told.lines, *there))


_SPACE = (
    Asked("area", "area", needed=True, example="1200 ft2"),
    Asked("height", "length", needed=True, example="3 ft"),
)
RECKONINGS: Mapping[str, Reckoning] = {
    one.name: one
    for one in (
        Reckoning(
            "fan",
            (
                Asked("which", "text", example="north vent"),
                Asked("blows", "text", needed=True, choices=BLOWS),
                Asked("airflow", "flow", example="300 cfm"),
                Asked("fans", "count", example="2"),
                *_SPACE,
                Asked("inside", "air", needed=True, example="18C/85%"),
                Asked("outside", "air", needed=True, example="14C/60%"),
                Asked("source", "mass-a-day", example="5 kg/day"),
                Asked("target-rh", "humidity", example="70%"),
            ),
            ("burners", "outward", "local-code"),
            _fan,
        ),
        Reckoning(
            "dose",
            (
                Asked("product", "text"),
                Asked("strength", "ratio", needed=True, example="6 %"),
                Asked("label", "concentration", example="500 ppm"),
                Asked("batch", "volume", example="5 gal"),
                Asked("bleach", "volume", example="0.75 cup"),
                Asked("water", "volume", example="1 gal"),
                Asked("area", "area", example="400 ft2"),
                Asked("coverage", "coverage", example="400 ft2/gal"),
                Asked("contact", "time", example="10 min"),
            ),
            ("never-mix", "label", "bleach-gear"),
            _dose,
        ),
        Reckoning(
            "machines",
            (
                *_SPACE,
                Asked("wet-area", "area", example="400 ft2"),
                Asked("wet-upper", "area", example="200 ft2"),
                Asked("rooms", "count", example="3"),
                Asked("class", "text", choices=CLASSES),
                Asked("machine", "text", choices=KINDS),
                Asked("rated", "mass-a-day", example="70 pt/day"),
                Asked("airflow", "flow", example="300 cfm", words="desiccant"),
                Asked("movers", "count", example="4"),
                Asked("dehumidifiers", "count", example="1"),
            ),
            ("not-must", "machine-power", "mould"),
            _machines,
        ),
    )
}


def read_all(name: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """Return what was typed for a computation, in SI; what was left empty is not there.

    Args:
        name: of RECKONINGS.
        typed: name of what is asked -> text.

    Raises:
        WrongUse: something needed is lacking, is not asked, or cannot be read.
    """
    asks = {one.name: one for one in RECKONINGS[name].asks}
    for key in typed:
        if key not in asks:
            raise WrongUse(say("reckon.not-asked", key=key, known=", ".join(asks)))
    for one in asks.values():
        if one.needed and not typed.get(one.name, "").strip():
            raise WrongUse(say("reckon.lacks", field=one.label))
    return {key: asks[key].read(text) for key, text in typed.items() if text.strip()}


def works_out(name: str, typed: Mapping[str, str]) -> Told:
    """Return what a computation tells of what was typed.

    Raises:
        WrongUse: something is lacking, cannot be read, does not go together, or cannot be.
    """
    return RECKONINGS[name].works(read_all(name, typed))
