"""What stands in a file is shown as it stands there, whatever signs are in it: on every screen."""

from dataclasses import replace

from waiting import until

from planner.app.places import PLACES

TOLD = {"hues", "venues", "by_eye", "cover", "order", "costume", "pairings"}
"""Screens that are there at once and tell names."""

ODD = "[red]odd[/] [/AB] [@click=app.quit]"


def test_a_name_with_signs_in_it_is_shown_as_it_is_on_every_screen(few, saved, make_app, play, screen_text):
    def named(entries):
        return {name: one.model_copy(update={"name": f"{ODD} {name}"}) for name, one in entries.items()}

    palette = replace(
        few, stones=named(few.stones), coatings=named(few.coatings), venues=named(few.venues),
        swatches=named(few.swatches),
    )  # fmt: skip
    app = make_app(palette=palette)
    app.state = app.state.with_job(title=ODD, client=ODD, note=ODD)
    seen = {}

    async def story(pilot, _settle):
        seen["main"] = screen_text(app)
        for key in ("s", "v", "e", "n", *(place.key for place in PLACES if place.name in TOLD)):
            await pilot.press(key)
            await until(pilot, lambda: app.screen is not app.main or app.main.picking)
            seen[key] = screen_text(app)
            for _ in range(4):
                if app.screen is app.main and not app.main.picking:
                    break
                await pilot.press("escape")
                await pilot.pause()
            assert app.screen is app.main, key

    play(app, story, size=(120, 40))
    assert seen["main"].count("[red]odd[/]") >= 3
    for key in ("s", "v"):
        assert f"{ODD} " in seen[key], key
