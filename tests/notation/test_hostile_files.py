"""Files that nobody vouches for: each is read, or refused with one line that says why."""

from __future__ import annotations

import io
import random
import tracemalloc
import zipfile

import pytest
from written import on_strings, tune

from theorykit.errors import TuneError
from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.abc import abc_text
from theorykit.notation.abc_reader import read_abc
from theorykit.notation.musicxml import musicxml_text
from theorykit.notation.musicxml_reader import read_musicxml
from theorykit.notation.tune import MOST_BYTES
from theorykit.score.score import Score

GOOD = musicxml_text(on_strings(), instrument=find_instrument("guitar"))


def zipped(name: str, data: bytes, *, container: bytes | None = None) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        if container is not None:
            archive.writestr("META-INF/container.xml", container)
        archive.writestr(name, data)
    return target.getvalue()


LAUGHS = "".join(
    f'<!ENTITY l{index} "{f"&l{index - 1};" * 10 if index else "ha"}">' for index in range(10)
)
FETCH = '<!DOCTYPE a [<!ENTITY e SYSTEM "file:///etc/passwd">]><score-partwise>&e;</score-partwise>'
NO_DURATION = GOOD.replace("<duration>1</duration>", "", 1)

REFUSED = {
    "nothing": ("", "not well-formed"),
    "no markup": ("C D E F", "not well-formed"),
    "other markup": ("<html><body/></html>", "not MusicXML"),
    "cut short": (GOOD[: len(GOOD) // 2], "line .*not well-formed"),
    "a billion laughs": (f"<!DOCTYPE a [{LAUGHS}]><score-partwise>&l9;</score-partwise>", "entities"),
    "an entity that fetches": (FETCH, "entities"),
    "no part": ("<score-partwise/>", "no part 1"),
    "no notes": ('<score-partwise><part id="P1"><measure/></part></score-partwise>', "no notes"),
    "no duration": (NO_DURATION, "bar 1: a note with no duration"),
    "no number": (GOOD.replace("<duration>1<", "<duration>1e9<", 1), "bar 1: '1e9' is not a number"),
    "endless digits": (GOOD.replace("<duration>1<", f"<duration>{'9' * 50}<", 1), "not a number"),
    "divisions of nothing": (GOOD.replace("<divisions>1<", "<divisions>0<", 1), "bar 1: its divisions"),
    "a far octave": (GOOD.replace("<octave>3<", "<octave>44<", 1), "bar 1: a pitch"),
    "eight sharps": (GOOD.replace("<fifths>1<", "<fifths>8<", 1), "bar 1: a key signature of 8"),
    "a meter that is none": (GOOD.replace("<beat-type>4<", "<beat-type>5<", 1), "bar 1: meter"),
    "a note before time": (GOOD.replace("<duration>1<", "<duration>-1<", 1), "bar 1: a note with"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_wrong_is_said(name: str) -> None:
    data, message = REFUSED[name]
    with pytest.raises(TuneError, match=message) as caught:
        read_musicxml(data)
    assert "\n" not in str(caught.value)


def test_a_document_in_another_encoding() -> None:
    declared = GOOD.replace('encoding="UTF-8"', 'encoding="UTF-16"')
    assert read_musicxml(declared.encode("utf-16")) == read_musicxml(GOOD)
    assert read_musicxml(declared) == read_musicxml(GOOD)


def test_a_small_archive_that_unpacks_to_much() -> None:
    bomb = zipped("score.musicxml", b"<score-partwise>" + b" " * 200_000_000)
    assert len(bomb) < 1_000_000
    tracemalloc.start()
    with pytest.raises(TuneError, match="unpacks to more than"):
        read_musicxml(bomb)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 8 * MOST_BYTES


def test_archives() -> None:
    good = GOOD.encode()
    assert read_musicxml(zipped("any.xml", good)) == read_musicxml(GOOD)
    point = b'<container><rootfiles><rootfile full-path="a/b.xml"/></rootfiles></container>'
    assert read_musicxml(zipped("a/b.xml", good, container=point)) == read_musicxml(GOOD)
    for data, message in (
        (zipped("a.txt", good), "no score in it"),
        (zipped("c.xml", good, container=point), "can't be unpacked|can be unpacked"),
        (zipped("a.xml", good)[:100], "can be unpacked"),
        (b"PK\x03\x04" + bytes(100), "can be unpacked"),
    ):
        with pytest.raises(TuneError, match=message):
            read_musicxml(data)


def test_what_is_too_large() -> None:
    with pytest.raises(TuneError, match="more than 8 MB"):
        read_musicxml(b" " * (MOST_BYTES + 1))
    with pytest.raises(TuneError, match="more than 8 MB"):
        read_abc(b" " * (MOST_BYTES + 1))
    with pytest.raises(TuneError, match="bars"):
        read_abc("X:1\nL:1/4\nK:C\n" + "C4|" * 9000)
    with pytest.raises(TuneError, match="bars"):
        read_abc("X:1\nL:1/4\nK:C\nC4|Z999|Z999|Z999|Z999|Z999|Z999|Z999|Z999|Z999|\n")
    with pytest.raises(TuneError, match="notes"):
        read_abc("X:1\nL:1/64\nK:C\n" + "[CDEFGABcdefgab]" * 8000)


@pytest.mark.parametrize(
    "music",
    ["(" * 50_000, "[" * 50_000, '"' * 50_001, "{" * 50_000, ">" * 50_000, ":" * 50_000,
     "|:" * 3000 + "C", "A" + "-" * 50_000, "(9" * 20_000 + "C", "!" * 50_000, "[K:" * 20_000,
     "C" + "/" * 50_000, "^" * 50_000 + "C", "&" * 50_000],
)  # fmt: skip
def test_music_that_never_ends(music: str) -> None:
    # Each is gone through once, sign by sign, and the note behind it is still there or refused.
    try:
        found = str(len(read_abc(f"X:1\nL:1/4\nK:C\n{music}\nG|\n").part("line").notes))
    except TuneError as error:
        found = str(error)
    assert 0 < len(found) < 260


def changed(text: str, chance: random.Random) -> str:
    """A text with some of its signs changed, left out or put elsewhere."""
    letters = list(text)
    for _ in range(chance.randint(1, 12)):
        at = chance.randrange(len(letters))
        how = chance.randrange(4)
        if how == 0:
            letters[at] = chance.choice("<>&\"'/0123456789-abcXYZ|:[](){}^_=\n\0é♭")
        elif how == 1:
            del letters[at : at + chance.randint(1, 30)]
        elif how == 2:
            letters[at:at] = letters[at : at + chance.randint(1, 60)]
        else:
            letters.insert(
                at, chance.choice(("<note>", "</note>", "99999999999", "|:", "\n\n", "%"))
            )
    return "".join(letters)


@pytest.mark.parametrize("seed", range(60))
def test_changed_at_random(seed: int) -> None:
    chance = random.Random(seed)
    abc = abc_text(tune("C4:1/3 D4 E4 F#4:1 Bb4 r C5", chords="C F#m7b5", key="F"), lyrics=True)
    for _ in range(8):
        for text, read in (
            (changed(GOOD, chance), read_musicxml),
            (changed(abc, chance), read_abc),
        ):
            try:
                found: Score | str = read(text)  # type: ignore[operator]
            except TuneError as error:
                found = str(error)
            assert isinstance(found, Score) or 0 < len(found) < 260
