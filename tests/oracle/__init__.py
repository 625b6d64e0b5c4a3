"""A second, independent reckoning of scale and cost from an authored book.

It shares no code with the program it checks. Every figure is an exact
`fractions.Fraction`, rounded once when it is shown.
"""
