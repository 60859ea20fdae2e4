"""Parts of a style: each has its choices, and adds its pieces, seams and notes to a garment in the making."""
