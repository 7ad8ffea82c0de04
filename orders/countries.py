"""English names of countries, for the last line of an address abroad.

ISO 3166-1 codes with their usual English names (from memory); a country that is
not listed is kept as it was typed.
"""

from __future__ import annotations

# Inland post: no country is written. Jersey, Guernsey and Man share the postcodes.
INLAND = frozenset({"GB", "GG", "IM", "JE"})

NAMES = {
    "AE": "United Arab Emirates",
    "AR": "Argentina",
    "AT": "Austria",
    "AU": "Australia",
    "BE": "Belgium",
    "BG": "Bulgaria",
    "BR": "Brazil",
    "CA": "Canada",
    "CH": "Switzerland",
    "CL": "Chile",
    "CY": "Cyprus",
    "CZ": "Czech Republic",
    "DE": "Germany",
    "DK": "Denmark",
    "EE": "Estonia",
    "ES": "Spain",
    "FI": "Finland",
    "FR": "France",
    "GB": "United Kingdom",
    "GG": "Guernsey",
    "GI": "Gibraltar",
    "GR": "Greece",
    "HK": "Hong Kong",
    "HR": "Croatia",
    "HU": "Hungary",
    "IE": "Ireland",
    "IL": "Israel",
    "IM": "Isle of Man",
    "IN": "India",
    "IS": "Iceland",
    "IT": "Italy",
    "JE": "Jersey",
    "JP": "Japan",
    "KE": "Kenya",
    "KR": "South Korea",
    "LI": "Liechtenstein",
    "LT": "Lithuania",
    "LU": "Luxembourg",
    "LV": "Latvia",
    "MT": "Malta",
    "MX": "Mexico",
    "MY": "Malaysia",
    "NL": "Netherlands",
    "NO": "Norway",
    "NZ": "New Zealand",
    "PL": "Poland",
    "PT": "Portugal",
    "RO": "Romania",
    "SE": "Sweden",
    "SG": "Singapore",
    "SI": "Slovenia",
    "SK": "Slovakia",
    "TH": "Thailand",
    "TR": "Turkey",
    "TW": "Taiwan",
    "UA": "Ukraine",
    "US": "United States of America",
    "ZA": "South Africa",
}

_OTHER_NAMES = {
    "america": "US",
    "czechia": "CZ",
    "eire": "IE",
    "england": "GB",
    "great britain": "GB",
    "holland": "NL",
    "northern ireland": "GB",
    "republic of ireland": "IE",
    "scotland": "GB",
    "the netherlands": "NL",
    "uk": "GB",
    "united states": "US",
    "usa": "US",
    "wales": "GB",
}

_CODES = {name.lower(): code for code, name in NAMES.items()} | _OTHER_NAMES


def code_of(name: str) -> str | None:
    """Find the code of a country by one of its English names; dots are left out."""
    tidy = " ".join(name.replace(".", "").lower().split())
    return _CODES.get(tidy)


def name_of(country: str) -> str:
    """Return the English name of a code, or what was typed instead of a code."""
    return NAMES.get(country, country)
