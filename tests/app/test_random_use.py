"""Random keys, clicks, pastes and sizes leave the planner alive, its draft and its job file whole.

By default a dozen things at each of two sizes, nine hundred at each of three with ``PLANNER_FULL=1``;
`tests/speed/random_use.py` goes on for as long as it is let.
"""

import pytest
from campaigns import WHOLE
from fumbling import fumble

from planner.job import read_job_file

DRAWN_AT_ONCE = PICTURES = True

SESSION = 150
"""Things done before the planner is begun anew, since many ways lead out of it."""


@pytest.mark.long
@pytest.mark.campaign
@pytest.mark.parametrize(
    ("seed", "size"), [(3, (20, 6)), (4, (100, 40)), (5, (300, 100))][: 3 if WHOLE else 2]
)
def test_random_use_leaves_all_whole(make_app, play, saved, whole, seed, size):
    sessions = 900 // SESSION if whole else 1
    for session in range(sessions):
        app = make_app()

        async def story(pilot, settle, app=app, session=session):
            await fumble(app, pilot, SESSION if whole else 12, seed=1000 * seed + session, leave=whole)
            if app._exit:
                return
            await settle()
            read_job_file(saved.path)
            app.keep()
            if app.state.unsaved and app.drafts.path is not None:
                assert read_job_file(app.drafts.path).job == app.state.job

        play(app, story, size=size)
