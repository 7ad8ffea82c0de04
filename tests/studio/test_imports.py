"""The list of pure modules in pyproject.toml is whole, and kept to."""

import re
import tomllib

import grimp
import pytest

from studio.computer import ROOT

PACKAGES = ["studio", "inventory", "orders", "production"]
# The last two stand on Django themselves, which the graph does not see.
DJANGO_BEHIND = ("django", "django_tables2", "django_filters")
# Standard library only: they make the environment that the rest needs.
BEFORE_DJANGO = {
    f"studio.{name}" for name in ("bootstrap", "computer", "libraries", "testing")
}


def pure_modules():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = settings["tool"]["importlinter"]["contracts"]
    [pure] = [contract for contract in contracts if contract["layers"][0] == "(django)"]
    return re.findall(r"[\w.]+", pure["layers"][1])


@pytest.fixture(scope="module")
def graph():
    return grimp.build_graph(*PACKAGES, include_external_packages=True, cache_dir=None)


def test_every_module_that_needs_no_django_is_named_as_pure(graph):
    on_django = {
        module
        for package in DJANGO_BEHIND
        for module in graph.find_downstream_modules(package)
    }
    with_content = {
        module
        for module in graph.modules
        if module.split(".")[0] in PACKAGES
        and graph.find_modules_directly_imported_by(module)
    }

    unnamed = {
        module
        for module in with_content - on_django - BEFORE_DJANGO
        if not any(f"{module}.".startswith(f"{pure}.") for pure in pure_modules())
    }

    assert "studio.models" in on_django
    assert unnamed == set()


def test_a_pure_module_says_what_it_takes_and_gives():
    files = [
        path
        for module in pure_modules()
        for path in files_of(ROOT.joinpath(*module.split(".")))
    ]

    loose = [
        str(path.relative_to(ROOT))
        for path in files
        if re.search(r"\bAny\b", path.read_text(encoding="utf-8"))
    ]

    assert len(files) > 3
    assert loose == []


def files_of(place):
    if place.is_dir():
        return sorted(place.glob("**/*.py"))
    return [place.with_suffix(".py")] if place.with_suffix(".py").exists() else []
