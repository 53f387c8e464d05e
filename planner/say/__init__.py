"""What is told, put into words once: an answer becomes a `Document`, which every voice renders.

`document` has the parts that a document is made of and `names` how money, days and counts are told.
`as_text` renders them for the command line and `as_json` for programs (the screens' renderer is the
interface's own). The other modules each turn one kind of answer into its document. Nothing here decides
anything: what holds, warns or is accepted is asked of the rooms above.
"""
