"""The only room that knows MkDocs, Typst or a browser."""
