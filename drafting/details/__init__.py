"""What is added to a plain piece: neckline, collar and lapel, closure, facings, lining, pleats."""
