# Two commands set everything up on a fresh machine: `make study` and `make test`.
# Needed beforehand: Python 3.11 or later, make, and the package registries.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STUDY ?= demo-study

.PHONY: study open test check bench browser pictures clean format

$(BIN)/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run: pyproject.toml constraints.txt | $(BIN)/python
	$(BIN)/python -m pip install --quiet -c constraints.txt -e .
	@touch $@

$(VENV)/.dev: pyproject.toml constraints.txt $(VENV)/.run
	$(BIN)/python -m pip install --quiet -c constraints.txt -e '.[dev]'
	@touch $@

study: $(VENV)/.run          ## build the demo study and its lesson, and say where they are
	$(BIN)/python demo/make_study.py $(STUDY)

open: $(VENV)/.run           ## serve the workbench on the demo study, and open it in the browser
	@[ -f $(STUDY)/study.toml ] || $(BIN)/python demo/make_study.py $(STUDY)
	$(BIN)/sonorarium open $(STUDY) --shelf $(STUDY)/.shelf

browser:                     ## the browser that the page tests drive
	@command -v chromium >/dev/null 2>&1 || sh tests/get_browser.sh

test: $(VENV)/.dev browser   ## everything needed, then all tests
	$(BIN)/python -m pytest -n auto

check: $(VENV)/.dev          ## lint, types, layers, docs
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/python docs/check.py

bench: $(VENV)/.dev          ## speed, as ratios against the budgets of the design
	$(BIN)/python -m pytest bench --benchmark-only --benchmark-columns=median,iqr,rounds
	$(BIN)/python -m bench.ratios

pictures: $(VENV)/.dev browser   ## take the pictures of the documents anew
	$(BIN)/python docs/make_pictures.py
	PICTURES=1 $(BIN)/python -m pytest -q tests/web/test_pictures.py -k drawn

format: $(VENV)/.dev
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

clean:
	rm -rf $(VENV) $(STUDY) .pytest_cache .mypy_cache .ruff_cache build *.egg-info
