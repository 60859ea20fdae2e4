"""Money: what a garment costs, what it is sold for, and the papers that say so."""
