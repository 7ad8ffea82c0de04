"""Template pieces on acrylic sheets: how few sheets, how many sets, and the proof.

    to be placed:  piece + gap both ways, in a room of sheet − 2 edges + gap
    saw            every cut goes from side to side of what is being cut
    laser          any places that do not overlap

Sizes are exact: all lengths are counted in one unit that divides every one of them,
so nothing is rounded on the way. The parts: pieces and their unit (problem), places
worth trying (points), the best sheet for the saw (guillotine), what weighs down every
sheet (weighing, bars), sheets filled by hand and eye (filling), few sheets out of many
ways (covering, plan), what else fits (spare), sizes to draw (sizes), and the words.
"""
