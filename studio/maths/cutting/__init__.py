"""Cutting cloth: which strips, which pieces from each, and how little cloth will do.

Lengths are whole numbers of one fine unit in here; fractions stay outside, in
``studio.maths.cutting_plan``. The parts: kinds and strips, the worth of one strip
(two_stage, three_stage), the search for the least length (bolt), pre-cut pieces
(rectangles, precut), kits, and the certificate that another can check.
"""
