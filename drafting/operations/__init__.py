"""General operations on a sketch: move a dart, cut and spread, lengthen, part at a style line, mirror, true.

Each takes a sketch and returns a ``Change``: the sketch or sketches that stand in its place, and what has
become of its edges and of the widths that were measured on it. ``Change.apply`` carries that into a
``Making``, so that seams, lines, corners and girths that were said before still hold. No operation knows a
style or a choice.
"""
