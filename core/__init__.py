"""Everything but what a person touches: no Qt, no window, no printing.

The rooms, from the ground up (an import may only point down this list):
study; harmony; line and guitar; engraving; handout, sound, exchange, files.
"""
