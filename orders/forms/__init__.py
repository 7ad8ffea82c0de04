"""Forms of orders: what was typed becomes exact values, and nothing is written."""

from __future__ import annotations
