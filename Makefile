# One command for each thing; `make help` lists them.
# GNU make 3.81 and BSD tools are enough, so that a Mac needs nothing extra.
PYTHON := python3
VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip install --quiet --disable-pip-version-check -c constraints.txt
PYTEST := $(PY) -m pytest -n 2
READY := $(VENV)/.ready
DEV := $(VENV)/.ready-dev
KINDS := unit reference properties database web browser docs

.PHONY: help start demo test test-long $(KINDS:%=test-%) check fix bench docs

help: ## list these commands
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  %-16s %s\n", $$1, $$2 }' Makefile

start: $(READY) ## set everything up, make the demo, open the pages
	$(VENV)/bin/graftwright demo
	$(VENV)/bin/graftwright serve

demo: $(READY) ## make the demo afresh
	$(VENV)/bin/graftwright demo --again

test: $(DEV) ## the quick suite, at most eight minutes on two cores
	$(PYTEST) -m "not long"

test-long: $(DEV) ## every test with its full counts and a fresh seed
	$(PYTEST) --hypothesis-profile=long --timeout=3600

test-unit: ## rules, one at a time
test-reference: ## figures against published ones
test-properties: ## what must hold for any history
test-database: ## the notebook file: contract, migrations, faults
test-web: ## pages and forms without a browser
test-browser: ## pages in Chromium
test-docs: ## the manual does what it says
$(KINDS:%=test-%): $(DEV)
	$(PYTEST) -m "not long" tests/$(@:test-%=%)

check: $(DEV) ## lint, types, direction of imports, sizes, stale pages; changes nothing
	$(VENV)/bin/ruff check .
	$(VENV)/bin/ruff format --check .
	$(VENV)/bin/mypy
	$(VENV)/bin/lint-imports
	$(PY) -m pytest -p no:cacheprovider tests/unit/test_house.py tests/docs/test_generated.py

fix: $(DEV) ## format, and mend what can be mended
	$(VENV)/bin/ruff check --fix --exit-zero .
	$(VENV)/bin/ruff format .

bench: $(DEV) ## each figure beside its peer
	@for each in benchmarks/[a-z]*.py; do $(PY) $$each || exit 1; done

docs: $(DEV) ## write the generated pages of the manual anew
	@for each in docs/make_*.py; do $(PY) $$each || exit 1; done

$(READY): pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || \
	{ echo "Graftwright needs Python 3.11 or later. Install it, or say where it is: make PYTHON=python3.12 start"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || \
	{ echo "This Python cannot make an environment. Install its venv module (on Debian: apt-get install python3-venv)."; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(PIP) -e .
	@touch $@

$(DEV): $(READY)
	$(PIP) -e '.[dev]'
	@touch $@
