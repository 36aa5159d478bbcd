"""Which explanations are left, in what groups, and why does each stand where it stands?

In the order of work: `classes` groups what no reading tells apart, `shares` sums them by part and subject, `if_two`
by pairs of subjects, `listing` puts them in order, `reasons` and `explained` say why.
"""
