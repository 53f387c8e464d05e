"""Random keys and clicks leave the planner alive, its draft and its job file whole."""

import random

import pytest

from planner.job import read_job_file

KEYS = (
    *"sczmlvodwakienthubpjygx", "U", "up", "down", "left", "right", "enter", "escape", "tab", "plus", "minus",
    "comma", "full_stop", "question_mark", "ctrl+s", "ctrl+z", "ctrl+p", "1", "7", "backspace", "space",
)  # fmt: skip


async def fumble(app, pilot, rounds, seed):
    """Press and click at random; leave by no way."""
    chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
    for _ in range(rounds):
        if chance.random() < 0.25:
            at = chance.randrange(app.size.width), chance.randrange(app.size.height)
            await pilot.click(offset=at)
        else:
            await pilot.press(chance.choice(KEYS))
        if app._exit:
            return


@pytest.mark.campaign
def test_random_keys_and_clicks_leave_all_whole(make_app, play, saved, whole):
    app = make_app()

    async def story(pilot, settle):
        await fumble(app, pilot, 100 if whole else 20, seed=3)
        await settle()
        read_job_file(saved.path)
        app.keep()
        if app.state.unsaved:
            assert read_job_file(app.drafts.path).job == app.state.job

    play(app, story)
