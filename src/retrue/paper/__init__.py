"""Records set on paper: PDF pages with a title block."""
