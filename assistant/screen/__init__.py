"""What he sees: what was heard, the answer, the state.

view             the port, and the stand-in that remembers
terminal         a plain terminal
large            figures five lines tall
web              the bench screen: a page in a browser on this computer
server           what the page is served by, and what it refuses
present          what stands on the screen now, and what each screen is still owed
parts            an answer as the page shows it
tape_picture     the tape around a mark, as SVG
piece_picture    the piece with its marks, as SVG
figures, icons, signs, svg
pairing          letting a screen on the network press the keys
window           a browser that fills the display
page/            the page itself
"""
