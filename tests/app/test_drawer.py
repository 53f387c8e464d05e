"""The drawer on the screen: a lot is added by keys alone, changed, and asked for again."""

from waiting import until

from planner.app.drawer.screen import DrawerScreen
from planner.app.form.screen import FormScreen, Line
from planner.order.drawer import drawer_file, read_drawer


def test_a_lot_is_added_changed_and_asked_for_again(make_app, play, screen_text):
    app = make_app()

    async def fill(pilot, **texts):
        await until(pilot, lambda: isinstance(app.screen, FormScreen))
        for name, text in texts.items():
            app.screen.query_one(f"#entry-{name}", Line).value = text
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, DrawerScreen))

    async def story(pilot, settle):
        await settle()
        await pilot.press("D")
        await until(pilot, lambda: isinstance(app.screen, DrawerScreen))
        assert "press a to add what you own" in " ".join(screen_text(app).split())
        await pilot.press("a")
        await fill(pilot, stone="Pulley blue", size="SS20", count="1 gross", seller="Stall 4", number="L-204")
        assert "144" in screen_text(app)
        assert "Stall 4" in screen_text(app)
        await pilot.press("c")
        await fill(pilot, count="100")
        (lot,) = read_drawer(drawer_file(), app.palette).lots
        assert (lot.stone, lot.count, lot.number) == ("pulley-blue", 100, "L-204")
        await pilot.press("a")
        await fill(pilot, stone="Pulley blue", size="SS20", count="100", seller="Stall 4", number="L-204")
        assert len(read_drawer(drawer_file(), app.palette).lots) == 1, "what is entered twice counts once"
        await pilot.press("delete")
        assert read_drawer(drawer_file(), app.palette).lots == ()
        await pilot.press("u")
        assert read_drawer(drawer_file(), app.palette).lots == (lot,)
        await pilot.press("u")
        assert read_drawer(drawer_file(), app.palette).lots[0].count == 144
        await pilot.press("m")
        await until(pilot, lambda: not isinstance(app.screen, DrawerScreen))
        assert "same lot" in screen_text(app)
        assert "L-204" in screen_text(app)

    play(app, story)


def test_a_lot_deleted_while_its_change_is_kept_is_added_anew(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await settle()
        await pilot.press("D")
        await until(pilot, lambda: isinstance(app.screen, DrawerScreen))
        drawer = app.screen
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, FormScreen))
        for name, text in {"stone": "Pulley blue", "size": "SS20", "count": "144"}.items():
            app.screen.query_one(f"#entry-{name}", Line).value = text
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is drawer)
        await pilot.press("c")
        await until(pilot, lambda: isinstance(app.screen, FormScreen))
        app.screen.query_one("#entry-count", Line).value = "100"
        drawer.action_remove()
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is drawer)
        await settle()
        assert [one.count for one in read_drawer(drawer_file(), app.palette).lots] == [100]

    play(app, story)
