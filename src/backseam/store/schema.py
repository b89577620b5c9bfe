"""The tables of a job book, and the steps from one version to the next.

A step is a list of statements run once, inside one transaction with the note that it was done. Steps are never
edited after a release: a new version is a new step at the end, with a frozen book of the old one in the tests.
"""

from __future__ import annotations

APPLICATION_ID = 0x4261536D  # "BaSm" in the file's header
PAGE = 4096  # bytes

_ROW = """
    id TEXT NOT NULL, revision INTEGER NOT NULL, kind TEXT NOT NULL, title TEXT NOT NULL,
    promised TEXT NOT NULL, customer TEXT NOT NULL, stage TEXT NOT NULL,
    saved_at TEXT NOT NULL, mark TEXT NOT NULL, removed_at TEXT NOT NULL,
    sha256 TEXT NOT NULL, seal TEXT NOT NULL, text BLOB NOT NULL"""

STEPS: tuple[tuple[str, ...], ...] = (
    (
        f"CREATE TABLE document ({_ROW}, PRIMARY KEY (id))",
        f"CREATE TABLE revision ({_ROW}, PRIMARY KEY (id, revision), FOREIGN KEY (id) REFERENCES document (id))",
        "CREATE INDEX listing ON document (kind, removed_at, saved_at)",
        """CREATE TABLE tally (one INTEGER PRIMARY KEY CHECK (one = 1), version INTEGER NOT NULL,
    documents INTEGER NOT NULL, revisions INTEGER NOT NULL, sum TEXT NOT NULL)""",
        "INSERT INTO tally VALUES (1, 1, 0, 0, '0')",
    ),
)
