"""The trade's formulas: pure functions, pint quantities in and out, a source named in each."""
