"""The hand-drafting sheet: a draft as numbered steps, to be ruled with a square and a tape on paper or cloth.

Everything on it is read off the draft's own pieces: corners measured from the corner of a frame, straight
lines by their lengths, curves by offsets from a base line. Nothing is constructed a second time.
"""
