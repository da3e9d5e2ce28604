"""The hand-over file: all records of one airplane as one file, for the next keeper.

`layout` says what is in it, `form` and the rows beside it what `records.json` holds; `writing` makes one.
`archive` unpacks one from outside within limits, `reading` gives its values or says why it can't be taken.
"""
