"""Messages: above the keys, never over the answer, none stacked up, and all to be read again."""

from textual.widgets._toast import Toast

from planner.app.colours import Sparkle
from planner.app.parts.footer import Footer
from planner.app.sight import Picture


def test_a_message_covers_neither_the_picture_nor_the_answer_at_80_columns(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("u")
        await pilot.pause()
        toast = app.screen.query_one(Toast)
        assert "There is nothing to undo." in screen_text(app)
        for part in ("#words", Sparkle, Picture, "#patches", Footer):
            assert not toast.region.overlaps(app.main.query_one(part).region), part

    play(app, story, notifications=True)


def test_the_same_message_is_shown_once_and_every_one_can_be_read_again(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("u", "u", "u", "U")
        await pilot.pause()
        assert len(app.screen.query(Toast)) == 2
        await pilot.press("g")
        await pilot.pause()
        assert screen_text(app).count("There is nothing to undo.") >= 3
        assert "There is nothing to redo." in screen_text(app)

    play(app, story, notifications=True)
