"""The lawn's record: journal, fold, store, and the dated program."""
