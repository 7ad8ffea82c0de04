"""Days as the worked tables write them: 5 sold, 5* sold out, 5@0.6 by that share."""

from fractions import Fraction

from inventory.past_days import PastDay


def days_of(text):
    return [day for word in text.split() for day in days_of_word(word)]


def days_of_word(word):
    word, _, times = word.partition("x")
    return [day_of(word)] * int(times or 1)


def day_of(word):
    if word.endswith("*"):
        return PastDay(int(word[:-1]), sold_out=True, seen=None)
    sold, _, exposure = word.partition("@")
    return PastDay(int(sold), draws=Fraction(exposure or 1))
