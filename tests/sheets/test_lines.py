"""Lines of keys in a TOML text: strings that look like tables, arrays over several lines, comments."""

from kiosk.sheets.lines import KeyLines

TEXT = '''\
# [[job]] in a comment
title = """
[[job]]
key = "not a key"
"""
[[job]]   # the first
key = "a"
steps = [  # three
    "one ] [[job]]",
    'two',
    "three",
]
[job.interval]
days = 1
[[job]]
"key" = "b"
inline = { days = 1, hours = 2 }
dotted.name = 3
'''


def test_keys_tables_and_elements_stand_where_they_are_written() -> None:
    """Lines counted by hand in the text above."""
    lines = KeyLines(TEXT)
    paths = [("title",), ("job", 0), ("job", 0, "key"), ("job", 0, "steps"), ("job", 0, "steps", 1),
             ("job", 0, "interval", "days"), ("job", 1), ("job", 1, "key"), ("job", 1, "inline", "hours"),
             ("job", 1, "dotted", "name")]
    assert [lines.of(path) for path in paths] == [2, 6, 7, 8, 10, 14, 15, 16, 17, 18]


def test_an_absent_key_stands_where_its_table_does() -> None:
    """A missing key has no line of its own."""
    assert KeyLines(TEXT).of(("job", 1, "interval", "hours")) == 15
    assert KeyLines(TEXT).of(("nowhere",)) == 1
