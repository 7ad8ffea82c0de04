"""Small cut lists made up by chance, and all that can be wrong with their plans."""

from hypothesis import strategies as st

from studio.maths.cutting.kinds import Kind
from studio.maths.cutting.layout import lay_strips
from tests.maths import cutting_checker as checker


def bolt_faults(answer, kinds, width, stages):
    """Everything that is wrong with a plan, laid out again."""
    places = lay_strips(answer.strips)
    sides = {side for kind in kinds for side in (kind.width, kind.height)}
    return [
        *checker.missing_or_surplus(places, kinds).items(),
        *checker.misshapen(places, kinds),
        *checker.outside(places, width, answer.length),
        *checker.overlaps(places),
        *checker.stage_faults(places, stages, sides),
    ]


@st.composite
def small_bolt_lists(draw):
    width = draw(st.integers(8, 24))
    kinds = []
    for _kind in range(draw(st.integers(1, 3))):
        turns = draw(st.booleans())
        across = st.integers(2, width)
        kinds.append(Kind(draw(across), draw(across), draw(st.integers(1, 3)), turns))
    return kinds, width


def piece_faults(answer, kinds, stock):
    places = answer.places
    by_stock = [
        [place for place in places if place.stock == number]
        for number in range(answer.pieces)
    ]
    return [
        *checker.missing_or_surplus(places, kinds).items(),
        *checker.misshapen(places, kinds),
        *checker.outside(places, *stock),
        *checker.overlaps(places),
        *(part for part in by_stock if not part),
        *(part for part in by_stock if not checker.can_be_guillotined(part)),
    ]


@st.composite
def small_piece_lists(draw):
    stock = draw(st.integers(4, 14)), draw(st.integers(4, 14))
    kinds = []
    for _kind in range(draw(st.integers(1, 4))):
        size = draw(st.integers(2, stock[0])), draw(st.integers(2, stock[1]))
        kinds.append(Kind(*size, draw(st.integers(1, 2)), draw(st.booleans())))
    return kinds, stock
