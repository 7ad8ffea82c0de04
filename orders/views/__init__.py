"""Pages of orders and the post."""

from __future__ import annotations
