"""An instrument's file is read in every usual spelling, or refused in one sentence."""

import numpy as np
import pytest
from reference import colour

from planner.catalogue import Refusal
from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS, resample
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.instrument import read_measured

DAYLIGHT = weights(illuminant("D65"))
NM = np.arange(400, 701, 10)
BLUE = np.interp(NM, [400, 450, 520, 600, 700], [0.15, 0.4, 0.2, 0.08, 0.15])


@pytest.fixture
def read(tmp_path):
    """Return a function that writes a text and reads it as a measurement."""

    def write_and_read(text, name="cloth.csv", **options):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return read_measured(path, **options)

    return write_and_read


def column(nm=NM, values=BLUE, mark=",", comma=False, head="nm{}reflectance\n"):
    pairs = zip(nm, values, strict=True)
    lines = [f"{one:g}{mark}{value:.5f}".replace(".", "," if comma else ".") for one, value in pairs]
    return head.format(mark) + "\n".join(lines) + "\n"


def row(values=(BLUE,), mark=","):
    lines = [mark.join(["name", *(f"{one} nm" for one in NM)])]
    lines += [mark.join([f"r{at}", *(f"{one:.5f}" for one in each)]) for at, each in enumerate(values)]
    return "\n".join(lines)


SPELLINGS = {
    "commas": column(),
    "commas and blanks": column(mark=", ", head=""),
    "semicolons and decimal commas": column(mark=";", comma=True),
    "tabs": column(mark="\t"),
    "tabs and decimal commas": column(mark="\t", comma=True),
    "blanks": column(mark=" ", head=""),
    "blanks and decimal commas": column(mark=" ", comma=True, head=""),
    "descending": column(NM[::-1], BLUE[::-1]),
    "percent by size": column(values=100 * BLUE),
    "percent by heading": column(values=100 * BLUE, head="nm{}R (%)\n"),
    "along the top": row(),
    "along the top, semicolons": row(mark=";"),
    "remarks, blank lines, line ends of another system": "\ufeff# Hoop\r\n\r\n"
    + column().replace("\n", "\r\n"),
}


@pytest.mark.parametrize("text", SPELLINGS.values(), ids=SPELLINGS.keys())
def test_one_cloth_in_every_spelling(read, text):
    swatch = read(text)
    expected = xyz_to_lab(resample(NM, BLUE) @ DAYLIGHT)
    assert delta_e(swatch.colour.lab, expected) < 0.2
    assert swatch.colour.basis == "measured"
    assert not swatch.colour.recovered
    assert swatch.colour.uncertainty == pytest.approx(1.0, abs=0.15)
    assert swatch.how == "measured every 10 nm"


@pytest.mark.parametrize(("step", "most"), [(1, 0.1), (5, 0.05), (10, 0.3), (20, 1.0)])
def test_steps_of_1_to_20_nm_tell_the_same_colour(read, step, most):
    """Published reflectances (ISO 17321-1:2012, in steps of 5 nm, as carried by colour-science) thinned."""
    missed = []
    for table in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values():
        nm = np.arange(400, 701, step)
        swatch = read(column(nm, np.interp(nm, table.wavelengths, table.values)))
        cut = np.interp(np.clip(WAVELENGTHS, 400, 700), table.wavelengths, table.values)
        missed.append(delta_e(swatch.colour.lab, xyz_to_lab(cut @ DAYLIGHT)))
    print(f"\n{step} nm: ΔE00 mean {np.mean(missed):.3f}, worst {np.max(missed):.3f}", end="")
    assert np.max(missed) < most


def test_several_readings_are_averaged_and_their_scatter_counts(read):
    near = read(row([BLUE * share for share in (0.99, 1.0, 1.01, 1.0)]))
    far = read(row([BLUE * share for share in (0.8, 1.0, 1.2, 1.0)]))
    assert near.how == "measured every 10 nm, mean of 4 readings"
    assert near.colour.uncertainty < 0.7 < far.colour.uncertainty
    one = read(row([BLUE]))
    assert delta_e(near.colour.lab, one.colour.lab) < 0.05
    assert near.colour.uncertainty < one.colour.uncertainty


def test_different_cloths_in_one_file_must_be_named(read):
    text = row([BLUE, BLUE[::-1]])
    with pytest.raises(Refusal, match="too far for one cloth; name one sample of r0, r1"):
        read(text)
    assert delta_e(read(text, sample="r0").colour.lab, read(column()).colour.lab) < 0.01
    with pytest.raises(Refusal, match="no sample 'x'; there are r0, r1"):
        read(text, sample="x")


def test_a_short_range_is_held_and_less_sure(read):
    short = read(column(NM[2:-2], BLUE[2:-2]))
    whole = read(column())
    assert delta_e(short.colour.lab, whole.colour.lab) < 1.5
    assert short.colour.uncertainty > whole.colour.uncertainty
    assert "420 to 680 nm" in short.notes[0]


NEON = np.interp(NM, [400, 480, 515, 560, 620, 700], [0.1, 0.3, 1.6, 0.9, 0.2, 0.1])


def test_neon_cloth_is_offered_as_fluorescent(read):
    with pytest.raises(
        Refusal, match=r"1\.5.* nm, more than any surface reflects; call the cloth fluorescent"
    ):
        read(column(values=NEON))
    swatch = read(column(values=NEON), fluorescent=True)
    assert swatch.colour.fluorescent
    assert swatch.colour.reflectance.max() > 1.4
    assert "fluoresces" in swatch.notes[0]


def test_a_brightened_white_is_taken_and_told(read):
    white = np.interp(NM, [400, 440, 480, 520, 700], [0.7, 1.2, 0.98, 0.88, 0.88])
    assert "brightener" in read(column(values=white)).notes[0]


def test_a_dark_cloth_in_per_cent_can_be_said_to_be(read):
    dark = read(column(values=np.full(len(NM), 0.9)), unit="percent")
    assert dark.colour.lab[0] < 10
    assert read(column(values=np.full(len(NM), 0.9))).colour.lab[0] > 90


def cgats(fields, rows, head='ORIGINATOR "hoop"\n', sets=None):
    lines = [" ".join(map(str, one)) for one in rows]
    return (
        f"CGATS.17\n{head}NUMBER_OF_FIELDS {len(fields)}\nBEGIN_DATA_FORMAT\n{' '.join(fields)}\n"
        f"END_DATA_FORMAT\nNUMBER_OF_SETS {len(rows) if sets is None else sets}\nBEGIN_DATA\n"
        + "\n".join(lines) + "\nEND_DATA\n"
    )  # fmt: skip


@pytest.mark.parametrize(
    "spelling", ["SPECTRAL_NM{}", "SPECTRAL_NM_{}", "NM_{}", "SPECTRAL_{}", "nm{}", "SPECTRAL_PCT{}"]
)
def test_cgats_spectra(read, spelling):
    scale = 100 if "PCT" in spelling else 1
    values = [f"{scale * one:.5f}" for one in BLUE]
    text = cgats(
        ["SAMPLE_ID", "SAMPLE_NAME", *(spelling.format(one) for one in NM)], [["1", '"Hoop blue"', *values]]
    )
    swatch = read(text, "cloth.txt", sample="Hoop blue")
    assert delta_e(swatch.colour.lab, read(column()).colour.lab) < 0.01


def test_cgats_pairs_of_wavelength_and_per_cent(read):
    fields = ["SAMPLE_ID"] + ["SPECTRAL_NM", "SPECTRAL_PCT"] * len(NM)
    pairs = [cell for one, value in zip(NM, BLUE, strict=True) for cell in (one, f"{100 * value:.4f}")]
    assert delta_e(read(cgats(fields, [["1", *pairs]])).colour.lab, read(column()).colour.lab) < 0.01


def test_cgats_colours_come_from_their_light_and_observer(read):
    fields = ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"]
    neutral = read(cgats(fields, [["1", 50, 0, 0]]))
    assert delta_e(neutral.colour.lab, np.array([50.0, 0, 0])) < 0.05
    assert neutral.how == "measured as CIELAB (D50, 2°)"
    head = 'WEIGHTING_FUNCTION "ILLUMINANT, D65"\nWEIGHTING_FUNCTION "OBSERVER, 2 degree"\n'
    exact = read(cgats(fields, [["1", 34, 12, -46]], head))
    assert delta_e(exact.colour.lab, np.array([34.0, 12, -46])) < 0.01
    assert exact.colour.basis == "measured"
    xyz = read(cgats(["XYZ_X", "XYZ_Y", "XYZ_Z"], [[9.0, 8.0, 33.0]], head))
    assert xyz.colour.lab[0] == pytest.approx(116 * 0.08 ** (1 / 3) - 16, abs=0.01)


def dented(at, value):
    return [BLUE[i] if i != at else value for i in range(len(BLUE))]


BAD = {
    "nothing": ("", "found nothing"),
    "prose": ("Dear all,\nthe cloth is blue.\n", "no spectrum|wavelength"),
    "a gap": (
        column(np.delete(NM, range(10, 14)), np.delete(BLUE, range(10, 14))),
        "nothing between 490 and 540",
    ),
    "a blank cell": (column().replace("450,0.40000", "450,"), "line 7: found nothing at 450 nm"),
    "a word": (column().replace("450,0.40000", "450,blue"), 'line 7: found "blue" at 450 nm'),
    "no number": (column().replace("450,0.40000", "450,nan"), 'found "nan" at 450 nm'),
    "twice": (column([*NM, 500], [*BLUE, 0.3]), "500 nm twice"),
    "below 0": (column(values=dented(5, -0.2)), "-0.2 at 450 nm; a reflectance cannot be below 0"),
    "mixed in one": (column(values=[*BLUE[:15], *(100 * BLUE[15:])]), "partly fractions and partly per cent"),
    "mixed in two": (row([BLUE, 100 * BLUE]), "partly fractions and partly per cent"),
    "too many": (row([BLUE] * 2001), "found 2001 readings; a file may have at most 2000"),
    "too short": (column(NM[5:], BLUE[5:]), "found 450 to 700 nm"),
    "a second heading": (column() + "name,x\n", 'found "name"; a wavelength in nm must be first'),
    "thousands": (column(mark=";", head="") + "710;1.234,5\n", 'found "1.234,5"'),
    "no format": ("CGATS.17\nBEGIN_DATA\n1 2\nEND_DATA\n", "no BEGIN_DATA_FORMAT"),
    "cut off": (
        cgats(["LAB_L", "LAB_A", "LAB_B"], [[1, 2, 3]]).replace("END_DATA\n", ""),
        "cut off|no BEGIN_DATA",
    ),
    "too few values": (cgats(["LAB_L", "LAB_A", "LAB_B"], [[1, 2]]), "2 values for 3 columns"),
    "too few sets": (
        cgats(["LAB_L", "LAB_A", "LAB_B"], [[1, 2, 3]], sets=4),
        "1 samples where NUMBER_OF_SETS says 4",
    ),
    "no colours": (cgats(["CMYK_C", "CMYK_M"], [[1, 2]]), "neither spectra"),
    "a word in CGATS": (cgats(["LAB_L", "LAB_A", "LAB_B"], [[1, "x", 2]]), 'LAB_A: found "x"'),
    "unknown light": (
        cgats(["LAB_L", "LAB_A", "LAB_B"], [[50, 0, 0]], "ILLUMINANT D66\n"),
        "found illuminant 'D66'",
    ),
    "impossible": (cgats(["LAB_L", "LAB_A", "LAB_B"], [[50, 190, 0]]), "No reflecting surface"),
}


@pytest.mark.parametrize(("text", "says"), BAD.values(), ids=BAD.keys())
def test_bad_files_are_refused_in_one_sentence(read, text, says):
    with pytest.raises(Refusal, match=says) as caught:
        read(text)
    assert "cloth.csv" in str(caught.value)
    assert "\n" not in str(caught.value)
