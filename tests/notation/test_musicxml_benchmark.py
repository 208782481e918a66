"""How long 32 bars with tablature take to be written and read."""

from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.musicxml import musicxml_text
from theorykit.notation.musicxml_reader import read_musicxml
from theorykit.score.arrange import arrange
from theorykit.score.run import scale_run
from theorykit.theory.scale import Scale


def score():
    run = scale_run(Scale.parse("A minor pentatonic"), 32, lowest=55)
    return arrange(" | ".join(["I7", "IV7", "I7", "V7"] * 8), "A", line=run, ending=False)


def test_writing(benchmark):
    text = benchmark(musicxml_text, score(), instrument=find_instrument("mandolin"))
    assert text.count("<measure ") == 32


def test_reading(benchmark):
    text = musicxml_text(score(), instrument=find_instrument("mandolin"))
    assert len(benchmark(read_musicxml, text).bars) == 32
