# Short names for the commands of DEVELOPERS.md. `make` is not needed to use or test witnessmark.
BIN := .venv/bin
SET ?= test

.PHONY: check setup test quick lint format accuracy bench golden
check: lint test

setup:
	python3 -m venv .venv && $(BIN)/pip install -q -e '.[test,pdf]'

test:
	$(BIN)/python -m pytest -n 2

quick:
	$(BIN)/python -m pytest -m "not model and not browser and not outside"

lint:
	$(BIN)/ruff check . && $(BIN)/ruff format --check . && $(BIN)/mypy

format:
	$(BIN)/ruff check --fix . ; $(BIN)/ruff format .

# Every accuracy figure with its counts; harm first. `make accuracy SET=dev` while tuning.
accuracy:
	$(BIN)/python tools/measure_correction.py $(SET) --english tests/corpus/english_speeches.txt.gz
	$(BIN)/python tools/measure_second_hearing.py report tests/second_hearing/recorded/evidence_$(SET).json.gz
	$(BIN)/python tools/measure_facts.py $(SET)
	$(BIN)/python tools/measure_chapters.py
	$(BIN)/python -m pytest -q -s tests/quantities/test_corpus.py
	$(BIN)/python -m tests.quantities.sayings figures_unseen2.toml
	$(BIN)/python -m tests.quantities.sayings figures_unseen3.toml
	$(BIN)/python -m tests.quantities.sayings figures_unseen7.toml
	$(BIN)/python -m tests.quantities.sayings figures_unseen17.toml
	$(BIN)/python -m tests.quantities.sayings figures_unseen18.toml
	$(BIN)/python tools/measure_facts.py test --texts tools/narrations/unseen
	$(BIN)/python tools/measure_facts.py test --texts tools/narrations/unseen2
	$(BIN)/python tools/measure_facts.py test --texts tools/narrations/unseen3
	$(BIN)/python tools/measure_facts.py test --texts tools/narrations/unseen4
	$(BIN)/python tools/measure_agreement.py tools/narrations/unseen2 tools/narrations/unseen3

bench:
	$(BIN)/python tools/measure_hearing.py
	$(BIN)/python tools/measure_second_hearing.py cost
	$(BIN)/python tools/bench_correct.py

golden:
	$(BIN)/python -m tests.render.golden
