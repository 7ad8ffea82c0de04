"""What an order's own discount takes off a sum.

kept = pence × (100 − discount) / 100, rounded half up to the penny
"""

from __future__ import annotations


def discounted(pence: int, per_hundred: int) -> int:
    return (pence * (100 - per_hundred) + 50) // 100
