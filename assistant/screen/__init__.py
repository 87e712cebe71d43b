"""What he sees: what was heard, the answer, the state.

view       the port, and the stand-in that remembers
terminal   a plain terminal
large      figures five lines tall
"""
