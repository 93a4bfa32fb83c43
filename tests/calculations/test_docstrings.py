"""Every public function and dataclass of the calculations documents what it really takes, and takes it by name only."""

import dataclasses
import doctest
import importlib
import inspect
import pkgutil
import re
from types import ModuleType

import pytest

import diagnostics.calculations as package

MODULES = [
    importlib.import_module(found.name) for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
]
ORDER = ("Formula:", "Parameters:", "Returns:", "Valid range:", "Example:", "Source:")


def public(module: ModuleType, wanted) -> list:
    return [
        thing
        for name, thing in vars(module).items()
        if not name.startswith("_") and wanted(thing) and thing.__module__ == module.__name__
    ]


FUNCTIONS = [thing for module in MODULES for thing in public(module, inspect.isfunction)]
DATACLASSES = [
    thing
    for module in MODULES
    for thing in public(module, lambda t: inspect.isclass(t) and dataclasses.is_dataclass(t))
]


def documented(text: str, heading: str) -> list[str]:
    lines = inspect.cleandoc(text).splitlines()
    start = lines.index(heading)
    block = []
    for line in lines[start + 1 :]:
        if line and not line.startswith(" "):
            break
        block.append(line)
    return [found[1] for line in block if (found := re.match(r"    (\w+) \[[^\]]+\], [^:]+: ", line))]


def name_of(thing) -> str:
    return f"{thing.__module__.removeprefix(package.__name__ + '.')}.{thing.__name__}"


def test_the_walk_finds_the_package() -> None:
    assert len(MODULES) >= 12 and len(FUNCTIONS) >= 40  # a walk that finds nothing would let every check below hold


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_documented_parameters_are_the_real_ones(function) -> None:
    real = list(inspect.signature(function).parameters)
    assert documented(function.__doc__ or "", "Parameters:") == real


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_every_argument_is_keyword_only(function) -> None:
    kinds = {one.kind for one in inspect.signature(function).parameters.values()}
    assert kinds <= {inspect.Parameter.KEYWORD_ONLY}


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_the_docstring_keeps_its_order_and_names_units(function) -> None:
    text = function.__doc__ or ""
    places = [text.find(f"    {heading}") for heading in ORDER]
    assert -1 not in places and places == sorted(places)
    assert re.search(r"Returns:\s+\[", text)
    assert text.splitlines()[0].endswith(".")


@pytest.mark.parametrize("dataclass", DATACLASSES, ids=name_of)
def test_dataclasses_are_frozen_keyword_only_and_documented(dataclass) -> None:
    parameters = inspect.signature(dataclass).parameters.values()
    assert dataclass.__dataclass_params__.frozen
    assert {one.kind for one in parameters} <= {inspect.Parameter.KEYWORD_ONLY}
    assert documented(dataclass.__doc__ or "", "Fields:") == [one.name for one in dataclasses.fields(dataclass)]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.removeprefix(package.__name__ + "."))
def test_every_worked_example_gives_what_it_says(module) -> None:
    assert doctest.testmod(module).failed == 0
