"""What is printed, as PDF. The same sheet is always the same bytes.

paper        a sheet of paper and what every sheet has
mark_sheet   a piece with every mark from the datum
cut_list     sticks with their cuts in order
wrap         a wrap-around template at full size, across pages
"""
