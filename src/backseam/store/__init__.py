"""The job book: documents as text in one SQLite file, their revisions, backups and plain copies.

It knows nothing of what stands in a document. `book.py` is the way in.
"""
