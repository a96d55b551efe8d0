"""What happened, kept for years: assessments with the hash of every input, signatures, inspected and tested pieces,
rides, retirements. SQLite; rows are only ever added.

Nothing here is imported until a record is read or written: a database library is slow to start.
"""
