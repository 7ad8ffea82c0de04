"""The Today page as a value: the state of the studio in sentences, next act first.

Wiring: it composes what the apps' queries say; the page, the terminal and the tests
show the same value.
"""
