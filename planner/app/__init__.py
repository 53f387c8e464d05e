"""The screens: a Textual interface over the rooms above it, with no optics or colour of its own.

`planner_app` is the app: a `navigation` to every screen in the table `places`, which is a `job_app` that
holds one job and loses none of it. `main_screen` is the screen a maker works on: `sight` (what is seen),
`words`, `ticket` and `picker` (what is chosen). `state` says what is asked, `answer_worker` has it worked
out in threads, `answer` is what comes of it. Folders are screens of their own.
"""
