"""Skirts from a waist seam, a hip and a length: plain geometry, no choices.

Frame: x from the centre outward, y from the waist seam at the centre upward (a skirt hangs below 0).
"""
