"""What writes files for the order screen, after asking: the saved list, and the drawer counted down."""

from dataclasses import replace
from pathlib import Path

from textual.content import Content
from textual.screen import Screen

from planner.app.asking import SureScreen, TextScreen
from planner.app.order import doing
from planner.app.photo.files import path_of
from planner.catalogue.files import TextFile, read_text, write_text
from planner.job.model import Job
from planner.order.order_plan import OrderPlan
from planner.order.stock import StockFile
from planner.refusal import Refusal

_ENDINGS = "A name ending in .csv makes a table for a spreadsheet, any other a text."


async def save_list(screen: Screen[None], plan: OrderPlan, job: Job, job_file: Path | None) -> None:
    """Ask for a name and save the order list; what is there is written over only if that is said."""
    folder = "" if job_file is None else f"{job_file.parent}/"
    typed = await screen.app.push_screen_wait(
        TextScreen("Save the order list", _ENDINGS, f"{folder}{doing.list_name(job)}", path=True)
    )
    if typed is None:
        return
    path = path_of(typed)
    try:
        file = TextFile(path, doing.list_text(plan, job.title, path), None)
        if path.is_file():
            text = f"{path} is there already. As it is now it would stay in {path.name}.bak."
            sure = SureScreen("There is such a file", Content(text), "Write over it")
            if not await screen.app.push_screen_wait(sure):
                return
            file = replace(file, digest=read_text(path).digest)
        write_text(file)
    except (Refusal, OSError) as problem:
        screen.notify(str(problem), severity="error")
        return
    screen.notify(f"Saved in {path}.")


async def count_down(screen: Screen[None], plan: OrderPlan, stock: StockFile) -> bool:
    """Show what counting the drawer down changes, and do it if that is wanted; return whether it was done."""
    text = doing.counted_down(stock, plan)
    if not await screen.app.push_screen_wait(SureScreen("Count the drawer down?", text, "Count down")):
        return False
    try:
        saved = stock.without(plan.taken).save()
    except Refusal as problem:
        screen.notify(str(problem), severity="error")
        return False
    screen.notify(f"Counted down in {saved.path}; as it was before it is {saved.path.name}.bak.")
    return True
