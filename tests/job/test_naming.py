"""Names of lines, and what becomes of areas when a line goes."""

from hypothesis import given
from hypothesis import strategies as st

from planner.job import Acceptance, Job, Line
from planner.job.area import Area
from planner.job.naming import copy_of, name_for, with_name, without_line


def job(lines, areas=()):
    return Job(title="Tabs", swatch="#204080", venues=("rink",), lines=tuple(lines), areas=tuple(areas))


def motif(name, **mix):
    return Area(
        name=name, shape="circle", pattern="motif", mix={k.replace("_", "-"): v for k, v in mix.items()}
    )


BLUE, GILT = Line(stone="pulley-blue", size="SS20"), Line(stone="bobbin-crimson", coating="gilt", size="SS12")


def test_a_name_tells_stone_coating_and_size():
    assert name_for(BLUE, job([BLUE])) == "pulley-blue-ss20"
    assert name_for(GILT, job([GILT])) == "bobbin-crimson-gilt-ss12"


def test_a_second_line_of_the_same_pairing_gets_another_name():
    both = with_name(with_name(job([BLUE, BLUE]), 0), 1)
    assert [line.name for line in both.lines] == ["pulley-blue-ss20", "pulley-blue-ss20-2"]


def test_a_name_stays_once_it_is_given():
    named = with_name(job([BLUE]), 0)
    assert with_name(named, 0) == named


ids = st.from_regex(r"[a-z0-9]{1,28}(-[a-z0-9]{1,28})?", fullmatch=True)


@given(st.lists(st.tuples(ids, ids), min_size=1, max_size=6))
def test_every_name_is_one_that_a_job_file_may_hold(pairings):
    one = job([Line(stone=stone, coating=coating, size="SS20") for stone, coating in pairings])
    for number in range(len(pairings)):
        one = with_name(one, number)
    again = Job.model_validate(one.model_dump(exclude={"lines"}) | {"lines": one.lines})
    assert len({line.name for line in again.lines}) == len(pairings)
    assert all(Line(stone="x", size="SS20", name=line.name) for line in again.lines)


def test_a_copy_has_no_name():
    assert copy_of(BLUE.model_copy(update={"name": "body", "note": "x"})) == BLUE


def test_what_was_accepted_of_a_line_is_not_accepted_of_its_copy():
    """Somebody answered for one line by name; nobody has looked at the copy yet."""
    by = Acceptance(code="glow-drifts", who="Ana", why="Seen")
    assert copy_of(BLUE.model_copy(update={"accept": (by,)})).accept == ()


def test_a_line_that_goes_leaves_the_mixes_and_says_which_areas_went():
    named = with_name(with_name(job([BLUE, GILT]), 0), 1)
    areas = (motif("Both", pulley_blue_ss20=3, bobbin_crimson_gilt_ss12=2), motif("Hem", pulley_blue_ss20=1))
    after = without_line(named.model_copy(update={"areas": areas}), 0)
    assert [area.name for area in after.job.areas] == ["Both"]
    assert after.job.areas[0].mix == (("bobbin-crimson-gilt-ss12", 2.0),)
    assert after.text == 'The area "Hem" had no other stones and was removed too.'
    assert without_line(named, 0).text == ""


def test_a_line_without_a_name_goes_alone():
    areas = (motif("Hem", pulley_blue_ss20=1),)
    named = with_name(job([BLUE, GILT]), 0).model_copy(update={"areas": areas})
    assert without_line(named, 1).job.areas == areas
