"""Whole areas and costumes, as an eye has them: the light of their stones and no more, to scale."""

from dataclasses import replace

import numpy as np
import pytest

from planner.catalogue import load
from planner.cover.costume import dressed, outline_of
from planner.cover.count import lines_of
from planner.cover.picture import plan
from planner.data import demo
from planner.job import read_job_file
from planner.picture.costume import BACKDROP, area_whole, costume, laid
from planner.picture.pool import pool
from planner.reading.of_job import line_question


@pytest.fixture(scope="module")
def job():
    return read_job_file(demo() / "jobs" / "hoop-second-half.toml").job


@pytest.fixture(scope="module")
def ask(job):
    palette = load(demo())
    return lambda line: line_question(job, line, palette)


def test_light_is_kept_whatever_the_scale(job, ask):
    question = ask(job.lines[0])
    rng = np.random.default_rng(2)
    centres = rng.uniform(0, 200, (300, 2))
    widths, which = np.full(300, question.millimetres), np.zeros(300, int)
    means = []
    for pixels in (10, 40):
        sheet = laid(np.ones((pixels, pixels)), centres, widths, which, [question], 200 / pixels)
        means.append(sheet.light().mean(axis=(0, 1)))
    np.testing.assert_allclose(means[0], means[1], rtol=0.05)
    stones = pool(question).light()
    share = 300 * 0.25 * np.pi * question.millimetres**2 / 200**2
    own = sheet.pools[0].prepared.cloth
    np.testing.assert_allclose(means[0], share * stones.mean(axis=0) + (1 - share) * own, rtol=0.35)


def test_a_pool_is_many_unlike_stones_of_one_mean(job, ask):
    stones = pool(ask(job.lines[0])).light()
    assert len(stones) > 80
    assert (stones >= -0.2).all()
    assert stones[:, 1].std() > 0.05 * stones[:, 1].mean()
    assert (pool(ask(job.lines[0])).light(12.0, 4.0) != stones).any()


def test_a_gradient_is_seen_whole_from_dense_to_sparse(job, ask):
    area = job.areas[0]
    drawn = plan(area, lines_of(area, job), 40, 60)
    assert drawn.whole
    sheet = area_whole(drawn, [ask(line) for line in lines_of(area, job)])
    hides = np.bincount(sheet.pixel, sheet.hides, 40 * 60).reshape(60, 40)
    # A triangle on its width, densest there: covered share of its cloth by thirds, from the apex down.
    wide = np.maximum(np.linspace(0.0, 1.0, 60)[:, None] * np.ones(40), 0.05)
    thirds = [hides[part].sum() / wide[part].sum() for part in (slice(15, 30), slice(30, 45), slice(45, 58))]
    assert thirds[0] < thirds[1] < thirds[2]


def test_a_costume_has_sparks_on_cloth_before_a_dark_stage(job, ask, tmp_path):
    drawn = dressed(job, outline_of(job, tmp_path))
    sheet = costume(drawn, [ask(line) for line in drawn.lines], 60, 40)
    light, shown = sheet.light(), sheet.frame()
    assert shown.shape == (40, 60, 3)
    np.testing.assert_allclose(light[0, 0], BACKDROP, atol=1e-6)
    assert light.max() > 3.0 * np.median(light[light.max(axis=-1) > 2 * BACKDROP])
    assert (sheet.frame(10.0) != shown).any()


def test_stones_hide_no_more_than_all_of_a_pixel(job, ask):
    question = replace(ask(job.lines[0]), cover=0.4)
    centres = np.full((500, 2), 5.0)
    sheet = laid(np.ones((1, 1)), centres, np.full(500, 4.7), np.zeros(500, int), [question], 10.0)
    stones = pool(question).light()
    assert sheet.light().max() <= stones.max() * 1.01
