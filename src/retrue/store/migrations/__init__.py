"""Steps of the index tables from one version to the next; records themselves never migrate."""
