"""How long phases took: figures, a chart in words, a drawing."""
