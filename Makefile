# One command for each thing; `make help` lists them.
VENV := .venv
PY := $(VENV)/bin/python
STAMP := $(VENV)/.installed
DEVSTAMP := $(VENV)/.installed-dev

.PHONY: help start demo test check fix

help: ## list what can be made
	@grep -E '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/'

$(STAMP): pyproject.toml constraints.txt
	python3 -m venv $(VENV)
	$(PY) -m pip install --quiet --disable-pip-version-check -c constraints.txt -e .
	@touch $@

$(DEVSTAMP): $(STAMP)
	$(PY) -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev]'
	@touch $@

start: $(STAMP) ## everything: environment, demo, then the pages
	$(VENV)/bin/graftwright serve --demo

test: $(DEVSTAMP) ## everything: test tools, then the test suite
	$(PY) -m pytest -n 2 -m "not long"

check: $(DEVSTAMP) ## lint, types, import rules, sizes; changes nothing
	$(VENV)/bin/ruff check .
	$(VENV)/bin/ruff format --check .
	$(VENV)/bin/mypy
	$(VENV)/bin/lint-imports

fix: $(DEVSTAMP) ## format and mend what can be mended
	$(VENV)/bin/ruff format .
	$(VENV)/bin/ruff check --fix .
