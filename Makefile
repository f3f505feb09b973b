# `make run` and `make test` work from a fresh clone with only Python >= 3.11 and make.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: run test lint bench soak messages pins clean

run: $(VENV)/run.stamp
	@$(BIN)/python -m configurator.cli.start

test: $(VENV)/dev.stamp
	@$(BIN)/python -m configurator.cli.check

lint: $(VENV)/dev.stamp
	$(BIN)/ruff check . && $(BIN)/ruff format --check configurator tests app.py && $(BIN)/mypy

bench: $(VENV)/dev.stamp
	$(BIN)/python -m tests.bench

soak: $(VENV)/dev.stamp
	HYPOTHESIS_PROFILE=searching $(BIN)/python -m pytest -q tests tests/soak

messages: $(VENV)/dev.stamp
	$(BIN)/python -m configurator.wording.extracting

# New exact versions with hashes, free of index addresses.
pins:
	uv pip compile --generate-hashes --no-emit-index-url --no-header --universal --python-version 3.11 -q requirements.in -o requirements.txt
	uv pip compile --generate-hashes --no-emit-index-url --no-header --universal --python-version 3.11 -q requirements-dev.in -o requirements-dev.txt

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Tuckline needs Python 3.11 or newer; set PYTHON=/path/to/it"; exit 1; }
	@$(PYTHON) -m venv $(VENV)

$(VENV)/run.stamp: requirements.txt | $(VENV)/bin/python
	@echo "Installing the pinned dependencies (once) ..."
	@$(BIN)/pip install --quiet --require-hashes -r requirements.txt
	@touch $@

$(VENV)/dev.stamp: requirements-dev.txt | $(VENV)/bin/python
	@echo "Installing the pinned development dependencies (once) ..."
	@$(BIN)/pip install --quiet --require-hashes -r requirements-dev.txt
	@touch $@ $(VENV)/run.stamp

clean:
	rm -rf $(VENV) var .pytest_cache .hypothesis .mypy_cache .ruff_cache
