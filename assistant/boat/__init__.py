"""A simulated boat: the whole supply and control circuit, its faults, and a person with a meter in it.

What the boat is made of, what each fault changes and how each test is carried out: `rules/boat.yaml`.
"""
