"""The board: what is kept on disk, so that a power cut loses nothing that was confirmed.

port       the Board protocol and the memory stand-in
sqlite     the real one: SQLAlchemy Core over one SQLite file
tables     what is in that file
log        the names in it, as a log that is only added to
courier    between that file and the board that benches share on a PostgreSQL server
opening    a board by its address
failures   what can go wrong with it, as sentences
exchange   the whole board as JSON, out and in
"""
