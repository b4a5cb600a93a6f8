"""The arithmetic of the trade: pure functions, SI units, every figure with its source in `rules/figures`.

Input that cannot be true (a negative length, a cable without copper) is refused with a `ValueError` whose
text is fit to be shown. What is merely unknown is `None`, and widens or withholds the answer.
"""
