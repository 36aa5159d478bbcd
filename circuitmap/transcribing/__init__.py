"""How does a paper get into the notation with few keys? Whatever comes out is the full notation; what is not clear is
asked."""
