"""Values drawn as pictures: finished SVG text."""
