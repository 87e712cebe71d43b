"""The board: what is kept on disk, so that a power cut loses nothing that was confirmed.

port       the Board protocol and the memory stand-in
sqlite     the real one: SQLAlchemy Core over one SQLite file
tables     what is in that file
failures   what can go wrong with it, as sentences
exchange   the whole board as JSON, out and in
"""
