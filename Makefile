# One command each: the demo manual, the tests, a preview that follows the files, the measurements.
# Works with any Python from 3.11 on; `make manual PYTHON=python3.12` names another than python3.
# `make manual VESSEL=mine` builds the manual of the vessel in the folder mine/; `BEFORE=old/mine` names an earlier
# revision of her, and a page then tells what was changed since.

PYTHON ?= python3
VESSEL ?= vessel
export LOOMBOOK_VESSEL := $(VESSEL)
ifdef BEFORE
export LOOMBOOK_BEFORE := $(BEFORE)
endif
export NO_MKDOCS_2_WARNING := 1
BIN := .venv/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt

.PHONY: manual serve test bench browser spice clean

manual: .venv/installed
	$(BIN)/mkdocs build --strict
	@echo
	@echo "The manual is ready. Open this file in any browser, with or without a network:"
	@echo "  $(CURDIR)/site/index.html"

serve: .venv/installed
	$(BIN)/mkdocs serve --livereload --dirty

test: .venv/installed-test browser spice
	$(BIN)/python -m pytest -n auto --dist loadfile

bench: .venv/installed-test
	$(BIN)/python -m tests.bench

clean:
	rm -rf .venv site build .pytest_cache .hypothesis generator/*.egg-info
	find generator tests -name __pycache__ -type d -prune -exec rm -rf {} +

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Loombook needs Python 3.11 or later; name one: make manual PYTHON=python3.12"; exit 1; }
	$(PYTHON) -m venv .venv \
	  || { rm -rf .venv; echo "Python's venv module is missing (on Debian and its kin: apt-get install python3-venv)"; exit 1; }

.venv/installed: .venv/bin/python pyproject.toml constraints.txt
	$(PIP) --editable .
	@touch $@

.venv/installed-test: .venv/installed
	$(PIP) --editable '.[test]'
	@touch $@

# The two programs beside Python that tests use. Whoever cannot install them still runs all other tests.

ROOT_APT = [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null && apt-get update -qq && apt-get install -qq -y --no-install-recommends

browser: .venv/installed-test
	@$(BIN)/python -m tests.browser.chromium \
	  || { $(ROOT_APT) chromium fonts-dejavu-core; $(BIN)/python -m tests.browser.chromium; } \
	  || { $(BIN)/python -m playwright install chromium; $(BIN)/python -m tests.browser.chromium; } \
	  || echo "No Chromium could be had: NOTHING WILL BE TRIED IN A BROWSER (set LOOMBOOK_CHROMIUM to one)"

spice:
	@command -v ngspice || { $(ROOT_APT) ngspice; command -v ngspice; } \
	  || echo "No ngspice could be had: THE NETWORK WILL NOT BE SOLVED A SECOND TIME (install ngspice)"
