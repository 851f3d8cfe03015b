"""The second, lenient reading of a text: prose, drawings retold, shop talk, TeX, stories.

A text is made plain, cut into tokens with one concept each, gathered into phrases, and every
clause is carried out on a table that fills up; what stands there is written in the strict
notation, which everything after it reads. Where a text can be read in two ways, both come out.
"""
