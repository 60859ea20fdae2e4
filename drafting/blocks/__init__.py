"""From a body and ease to plain pieces: bodice and skirt, and how a piece is put together from its edges."""
