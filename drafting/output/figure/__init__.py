"""The finished garment as a flat drawing, front and back, from the draft's own pieces.

Frame: x from the centre of the body outward, y from the natural waist upward, as the pieces are drafted; each
view is drawn once for a half and mirrored. A piece that is not known is left out.
"""
