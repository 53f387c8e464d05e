"""The list of files: what is there, and the folder above."""

from textual.widgets import OptionList

from planner.app.order.file_screen import FileScreen


def test_from_a_folder_without_offers_the_one_above_is_reached(make_app, play, tmp_path, monkeypatch):
    (tmp_path / "offers.csv").write_text("price\n", encoding="utf-8")
    (tmp_path / "jobs").mkdir()
    monkeypatch.chdir(tmp_path / "jobs")
    app, found = make_app(), []

    async def story(pilot, _settle):
        await app.push_screen(FileScreen("Offers", "A table.", frozenset({".csv"}), ""), found.append)
        await pilot.pause()
        names = app.screen.query_one("#file-names", OptionList)
        assert [str(one.prompt) for one in names.options] == [".."]
        await pilot.press("enter", "down", "enter")
        await pilot.pause()

    play(app, story)
    assert found == [tmp_path / "offers.csv"]
