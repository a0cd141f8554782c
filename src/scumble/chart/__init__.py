"""Draw on paper and screen: sheets, strips, swatches and curves; knows paper, not paint."""
