# Short names for the commands of DEVELOPERS.md. `make` is not needed to use or test witnessmark.
BIN := .venv/bin

.PHONY: check test lint format accuracy bench golden setup
check: lint test

setup:
	python3 -m venv .venv && $(BIN)/pip install -q -e '.[test,pdf]'

test:
	$(BIN)/python -m pytest

lint:
	$(BIN)/ruff check . && $(BIN)/ruff format --check . && $(BIN)/mypy

format:
	$(BIN)/ruff check --fix . ; $(BIN)/ruff format .
