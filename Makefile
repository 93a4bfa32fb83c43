# Every target works on a fresh machine with Python 3.11 and make; see README.md.
PYTHON ?= python3.11
SYSTEM_PYTHON := $(shell command -v $(PYTHON) || command -v python3)
VENV := .venv
BIN := $(VENV)/bin
PORT ?= 8000
# The names that pyproject.toml lists, so that pip installs them without building this project.
NAMES = $(SYSTEM_PYTHON) -c "import sys, tomllib; p = tomllib.load(open('pyproject.toml', 'rb'))['project']; print('\n'.join(p['dependencies'] + (p['optional-dependencies']['dev'] if 'dev' in sys.argv else [])))"

.PHONY: demo install test check browser bench fuzz chaos races pages

demo: $(VENV)/.running
	DEMO=1 PORT=$(PORT) RESET=$(RESET) exec $(BIN)/python -m portal.demo

install: $(VENV)/.everything browser

test: install
	$(BIN)/python -m tests.run $(ARGS)

check: $(VENV)/.everything
	$(BIN)/ruff check .
	$(BIN)/ruff format --check --quiet . || (echo "Run: ruff format ." && exit 1)
	$(BIN)/lint-imports
	SECRET_KEY=check $(BIN)/mypy .
	SECRET_KEY=check $(BIN)/python manage.py makemigrations --check --dry-run
	SECRET_KEY=only-to-check-0123456789-abcdefghijklmnopqrstuvwxyz-ABCDEF $(BIN)/python manage.py check --deploy --fail-level WARNING
	SECRET_KEY=check $(BIN)/python manage.py spectacular --validate --fail-on-warn --file /dev/null
	$(BIN)/python -m tests.house

# Our hot paths against the best engine for each; takes some minutes, and wants the machine for itself.
bench: $(VENV)/.everything
	$(BIN)/python -m tests.bench_rows $(ARGS)

# Longer than the suite has time for: notices against faults, decisions taken at once, random records and entries.
chaos: $(VENV)/.everything
	$(BIN)/python -m tests.trials.chaos $(ARGS)

races: $(VENV)/.everything
	$(BIN)/python -m tests.trials.races $(ARGS)

fuzz: $(VENV)/.everything
	$(BIN)/python -m tests.trials.records
	$(BIN)/python -m tests.trials.entries
	$(BIN)/python -m tests.trials.tampering
	$(BIN)/python -m tests.trials.api

# Every page on a phone, light and dark, looked at by axe.
pages: install
	EVERY_PAGE=1 $(BIN)/python -m pytest -q tests/browser/test_every_page.py

# Debian's Chromium for the browser tests, where it is missing and we may install it.
browser:
	@command -v chromium >/dev/null || (test "$$(id -u)" = 0 && command -v apt-get >/dev/null \
		&& apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium) \
		|| echo "Chromium is missing and can't be installed here; the browser tests will say so and fail."

$(VENV)/.made:
	$(SYSTEM_PYTHON) -m venv $(VENV)
	touch $@

$(VENV)/.running: $(VENV)/.made pyproject.toml constraints.txt
	$(NAMES) > $(VENV)/names.txt
	$(BIN)/pip install --quiet --disable-pip-version-check -c constraints.txt -r $(VENV)/names.txt
	touch $@

$(VENV)/.everything: $(VENV)/.made pyproject.toml constraints.txt
	$(NAMES) dev > $(VENV)/names.txt
	$(BIN)/pip install --quiet --disable-pip-version-check -c constraints.txt -r $(VENV)/names.txt
	touch $(VENV)/.running $@
