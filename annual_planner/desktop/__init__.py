"""The window. Qt lives here and nowhere else.

Writing a place
---------------
A place is one subclass of `page.Page`, named in `places.PLACES` (module and class as text: it is imported
when it is first visited). It is made with one argument, the `desk.Desk`:

- `desk.jobs.read(work_fn, self, done, failed, topic=...)`: `work_fn(work)` runs off the window's thread in
  one reading session; `done(value)` on the window's thread. A newer question of the same asker and topic
  replaces an older one. `desk.jobs.long(fn(progress), self, done, failed, says=...)` for PDF and the like:
  call `progress(done, total)` often; `desk.jobs.fleet.reading()` is there inside. `desk.jobs.write(edit,
  self, done, failed)` applies an Edit through the one writer and puts it on the undo trail. Pass
  `self.failed` to have errors shown on the page's own message strip (`self.strip.refuse(...)`,
  `self.strip.say(...)`).
- `desk.today`, `desk.who.person` (role, person_id, may_edit, sees_owner_id), `desk.theme.colours`,
  `desk.theme.sizes` (`of(lines)`, `target`), `desk.settings`, `desk.with_library(self, done, failed)`.

In the page: fill `self.body` (QVBoxLayout); `self.heading`, `self.tell_under(text)`; `self.action(text, fn,
key=, tip=, drawing=, button=, leading=, edits=, group=)` makes a QAction (menu 'Here', Ctrl+K, top button).
Override `ask` (fetch what is shown), `show_subject(subject)` and `subject` (plain values: int, str, None),
`why` (Working or a function of Work giving one; F4 shows it), `search_here`; set `listens` to kinds in
`Changed`. Emit `goes(place, subject)` to go elsewhere, `wants_working(working or fn)` to open the working
panel, `moved` when the subject changed.

Subjects agreed between places: `goes("aircraft", aircraft_id)`, `goes("aircraft", "add")` (form for a new
airplane), `goes("annual", package_id)`, `goes("annual", f"plan:{aircraft_id}")` (plan a new annual),
`goes("fleet", "due")`, `goes("library", card_key)`, `goes("library", f"ask:{question_key}")`.

Lists: `listing.Listing(desk, kept_as, columns, source, Words(...), states=(...), next_step=...)` with
`columns.Column` data; `source.FleetSource` (ids query + rows query) or `source.HeldSource` (rows in memory:
set `.rows`, then `listing.ask()`; ids are places in `.rows`). Signals `opened(id)`, `pointed(id)`;
`current`, `current_id`; `fill_menu` for row menus, `add_buttons` for actions beside the count. A list sorts
by two columns (`Query.order`, `Query.then`: hand both to the store's reader), and is copied and saved for a
spreadsheet by the window's own actions, with nothing to do for it on the page. `Column.sign` draws the shape
of a word of standing (`colours.sign_of`). Small parts: `widgets.label`, `button`, `ActionButton`, `line`,
`Strip`, `Blank`. Style marks are properties: `sheet=True` on a QFrame (a sheet of paper), `heading`,
`section`, `faint` on labels, `leading`, `quiet` on buttons. Every widget that a person can reach gets an
accessible name.

Tabs are `parts.TabsLater`: a part is made when its tab is first turned to or when it is asked for by name, so
that a page opens within 50 ms whatever stands on its tabs. `parts.offer_turning` puts turning them on keys.
A list and what belongs to it stand in a `split.Split`, one below the other where the window is narrow; with
all about the chosen row in it, it is a `with_details.WithDetails` (`HeldPart`, `records.stored_part`). Words
that wrap in a part of a Split keep their height by `least_height.LeastHeight`. Every
column but the one or two that say which row it is has an `aside`; from `column_room.LAST_RESORT` on it stays
as long as words can be shortened.
"""

from annual_planner.desktop.plain_import import import_plainly

import_plainly()
