"""The rule language, one small file a feature: each says in its first lines what it comes to."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from siltline.rules.rule import PROOF_KINDS, Rule
from support.language import FOLDER, outcome

FILES = sorted(path for path in FOLDER.glob("*.yaml") if path.name != "house.yaml")
DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def said(text: str) -> list[str]:
    """Return what the first lines of a file say that it comes to."""
    found = [line[2:] for line in text.splitlines() if line.startswith("# ")]
    return [line for line in found if line.split()[0] in ("fault", "advice", "todo", "measure")]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_file_comes_to_what_it_says(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert outcome(text) == said(text)
    assert path.stem.startswith("bad-") == any(line.startswith("fault") for line in said(text))


@pytest.mark.parametrize("word", [str(f.alias) for f in Rule.model_fields.values()])
def test_every_word_of_the_language_stands_in_a_file(word: str) -> None:
    texts = "\n".join(path.read_text(encoding="utf-8") for path in FILES)
    assert re.search(rf"\b{word}:", texts), word


@pytest.mark.parametrize("kind", PROOF_KINDS)
def test_every_kind_of_proof_stands_in_a_good_and_in_a_bad_file(kind: str) -> None:
    for bad in (False, True):
        texts = [path.read_text("utf-8") for path in FILES if path.stem.startswith("bad-") == bad]
        assert any(f"{kind}:" in text for text in texts) or (bad and kind == "label")


def test_the_example_that_developers_read_is_good_but_for_the_steps_it_does_not_show() -> None:
    blocks = re.findall(r"```yaml\n(.*?)```", DEVELOPERS.read_text(encoding="utf-8"), re.DOTALL)
    (example,) = (block for block in blocks if "carpet-out" in block)
    told = outcome(f"phase: one\ntitle: One\nsteps:\n{example}")
    strange = [line for line in told if not re.search(r"there is no (step|phase)", line)]
    assert [re.sub(r"^fault \d+:\d+: ", "", line).partition(";")[0] for line in strange] == [
        "nothing has the name 'sewage'",
        "an override is only for sources that differ: write what each source says (says)",
        "'carpet-out' takes something out and no step puts it back",
    ]
