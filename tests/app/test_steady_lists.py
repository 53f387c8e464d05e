"""Lists that change under keys and clicks, of commands and of everything else: nothing ends the planner."""

from fumbling import press_at_once
from rich.style import Style
from textual.command import CommandList
from textual.events import Click
from textual.widgets import OptionList
from waiting import too_late, until

from planner.app.parts.commands import Commands
from planner.app.parts.find import FindLine

DRAWN_AT_ONCE = PICTURES = True


def test_a_search_of_commands_that_is_left_at_once_ends_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        for _ in range(5):
            press_at_once(app, ["ctrl+p", *"help", "enter", "escape", "escape"])
            await pilot.pause()
        await pilot.press("ctrl+p")
        app.screen.run_worker(too_late())
        await pilot.pause(0.1)

    play(app, story)


def test_the_list_of_commands_asked_for_anew_while_it_is_left_ends_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("ctrl+p")
        assert isinstance(app.screen, Commands)
        app.screen.dismiss()
        left = app.screen
        app.action_command_palette()
        await until(pilot, lambda: isinstance(app.screen, Commands) and app.screen is not left)

    play(app, story)


def test_only_grey_themes_are_offered_and_one_is_taken(make_app, play):
    """Where all about them is tinted, patches look otherwise."""
    app = make_app()

    async def story(pilot, _settle):
        def offered():
            return [str(option.prompt) for one in app.screen.query(CommandList) for option in one.options]

        await pilot.press("ctrl+p", *"theme")
        await until(pilot, lambda: offered() and "Theme" in offered()[0])
        search = app.screen
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is not search and len(offered()) == 3)
        await pilot.press("down", "enter")
        await until(pilot, lambda: app.theme == "workroom" and app.screen is app.main)

    play(app, story)


def test_a_list_without_room_for_a_line_has_no_page(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("S")
        await until(pilot, lambda: app.screen.query("#entries"))
        entries = app.screen.query_one("#entries", OptionList)
        entries.styles.height = 0
        await pilot.pause()
        entries.set_options(["one", "another"])
        entries.highlighted = 1
        app.screen.query_one(FindLine).focus()
        await pilot.press("pagedown", "pageup")

    play(app, story)


def test_a_list_of_commands_without_room_for_a_line_has_no_page(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        app.action_command_palette()
        await until(pilot, lambda: app.screen.query(CommandList))
        app.screen.query_one(CommandList).styles.height = 0
        await pilot.pause()
        app.screen._action_command_list("page_down")

    play(app, story)


def test_a_choice_that_comes_after_its_list_has_changed_chooses_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("x")
        await until(pilot, lambda: app.screen.query("#card-files"))
        files = app.screen.query_one("#card-files", OptionList)
        files.set_options(["a.jpg", "b.jpg"])
        late = OptionList.OptionSelected(files, files.options[1], 1)
        files.clear_options()
        app.screen._paths = ()
        await app.screen._dispatch_message(late)

    play(app, story)


def test_a_click_on_a_line_that_has_gone_is_let_go(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        for opened, found in (("S", "#entries"), ("ctrl+p", "CommandList")):
            await pilot.press(opened)
            await until(pilot, lambda found=found: app.screen.query(found))
            lines = app.screen.query_one(found)
            lines.clear_options()
            await lines.on_event(
                Click(lines, 1, 1, 0, 0, 1, False, False, False, 1, 1, style=Style.from_meta({"option": 2}))
            )
            await pilot.press("escape")
            await until(pilot, lambda: app.screen is app.main)

    play(app, story)
