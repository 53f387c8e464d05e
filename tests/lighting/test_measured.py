"""Files of spectrometers: what is read, and what is refused in one sentence."""

import numpy as np
import pytest

from planner.catalogue import Refusal, Spectrum
from planner.colour.observer import illuminant
from planner.lighting import read_lamp_file, read_transmittance_file, spectrum_of

NM = np.arange(380, 781, 5)


@pytest.fixture
def write(tmp_path):
    def put(text):
        path = tmp_path / "lamp.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return put


@pytest.mark.parametrize(
    ("separator", "comma", "head"),
    [(",", False, "nm,power\n"), (";", True, "# a lamp\nnm;power\n"), (";", False, ""), ("\t", True, ""),
     (" ", False, "wavelength power\n"), (", ", False, "")],
)  # fmt: skip
def test_a_published_lamp_comes_back_from_any_usual_spelling(write, separator, comma, head):
    rows = [f"{nm}{separator}{value:.6f}" for nm, value in zip(NM, illuminant("FL11"), strict=True)]
    body = "\n".join(row.replace(".", ",") if comma else row for row in rows)
    table = read_lamp_file(write(head + body + "\n"))
    assert spectrum_of(Spectrum(table=table)) == pytest.approx(illuminant("FL11"), abs=2e-4)


def test_a_table_at_1_nm_is_averaged_and_per_cent_are_understood(write):
    text = "\n".join(f"{nm},{50 + (nm % 2)}" for nm in range(390, 731))
    table = read_transmittance_file(write(text))
    assert table[0][0] == 390.0
    assert table[-1][0] == 730.0
    assert all(value == pytest.approx(0.505, abs=0.01) for _, value in table)


FLAT = [f"{nm},1" for nm in range(400, 701, 10)]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([*FLAT[:10], *FLAT[13:]], ("line 11", "530 nm after 490 nm", "at most 20 nm")),
        ([*FLAT[:10], *FLAT[11:]], ("line 11", "510 nm after 490 nm", "a gap")),
        ([*FLAT[:5], *FLAT[4:]], ("line 6", "440 nm after 440 nm", "once")),
        (FLAT[::-1], ("line 2", "690 nm after 700 nm", "must rise")),
        ([*FLAT[:3], "430,-0.1", *FLAT[4:]], ("line 4", "-0.1", "0 or more")),
        (FLAT[:-1], ("400 to 690 nm", "must reach from 400 to 700 nm")),
        ([row.replace(",1", ",0") for row in FLAT], ("zeros", "some power")),
        (["400,1,2", *FLAT[1:]], ("line 1", "a wavelength in nm and a lamp's power")),
        ([*FLAT[:3], "430,nan", *FLAT[4:]], ("line 4", "430,nan")),
        ([], ("0 rows", "400 to 700 nm")),
        ([f"{nm},1" for nm in range(400, 701, 25)], ("425 nm after 400 nm", "at most 20 nm")),
    ],
)
def test_what_is_no_spectrum_is_refused_in_one_sentence(write, rows, words):
    path = write("\n".join(rows))
    with pytest.raises(Refusal) as refused:
        read_lamp_file(path)
    assert "\n" not in str(refused.value)
    for word in (str(path), *words):
        assert word in str(refused.value)


def test_a_transmittance_over_1_is_refused(write):
    with pytest.raises(Refusal, match="0 to 100 per cent"):
        read_transmittance_file(write("\n".join(row.replace(",1", ",120") for row in FLAT)))
