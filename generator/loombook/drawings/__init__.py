"""Symbols, layout, sheets and charts: linked, themed, reproducible SVG."""
