# Everything is installed into .venv from the hash-locked files in requirements/; nothing outside this folder is changed.
# PYTHON=python3.12 make test   uses another interpreter.

PYTHON ?= python3
BIN := .venv/bin
UV := uv==0.13.9
COMPILE := .cache/lock/bin/uv pip compile pyproject.toml --universal --fork-strategy fewest --no-build \
	--generate-hashes --annotation-style line --no-emit-index-url --custom-compile-command "make lock" --quiet $(UPGRADE)
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check

.PHONY: help demo serve test check format bench validate lock clean
.DELETE_ON_ERROR:

help:
	@echo 'make demo      assess the invented vehicle and write its dossier'
	@echo 'make serve     show it as a page to work on, for this machine only; prints the address'
	@echo 'make test      run the tests'
	@echo 'make check     lint, format, types, import order'
	@echo 'make bench     timing runs'
	@echo 'make validate  compare with published values and write docs/validation.md'
	@echo 'make format    put the code in its one format'
	@echo 'make lock      resolve requirements/*.txt again (UPGRADE=--upgrade takes newer releases)'
	@echo 'make clean     remove .venv and caches'

demo: .venv/.package
	$(BIN)/printworthy demo

serve: demo
	$(BIN)/printworthy serve demo-vehicle

test: .venv/.dev
	$(BIN)/python -m pytest

check: .venv/.dev
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports

format: .venv/.dev
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

bench: .venv/.dev
	env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE NGS_NUM_THREADS=2 $(BIN)/python -m pytest -m bench tests/bench

# Tests in tests/validation write a row per comparison when VALIDATION_REPORT names a file.
validate: .venv/.dev
	VALIDATION_REPORT=docs/validation.md $(BIN)/python -m pytest tests/validation

# Three stamps: a new run.txt rebuilds .venv from nothing, a new pyproject.toml or dev.txt adds to it.
.venv/.run: requirements/run.txt scripts/check_python.py scripts/complete_blas.py
	@command -v $(PYTHON) >/dev/null || { echo "$(PYTHON) was not found. On Debian: apt-get install python3 python3-venv"; exit 1; }
	@$(PYTHON) scripts/check_python.py
	@echo 'Installing the locked libraries into .venv, once (about 290 MB to fetch, 1 GB on disk).'
	@rm -rf .venv
	@$(PYTHON) -m venv .venv
	@$(INSTALL) --only-binary=:all: --require-hashes -r requirements/run.txt
	@$(BIN)/python scripts/complete_blas.py
	@touch $@

.venv/.package: .venv/.run pyproject.toml scripts/compile_loops.py
	@$(INSTALL) --no-deps --no-build-isolation --editable .
	@echo 'Compiling the inner loops, once.'
	@$(BIN)/python scripts/compile_loops.py
	@touch $@

.venv/.dev: .venv/.package requirements/dev.txt
	@$(INSTALL) --only-binary=:all: --require-hashes -r requirements/dev.txt
	@touch $@

lock: .cache/lock/bin/uv
	$(COMPILE) --group build --output-file requirements/run.txt
	$(COMPILE) --group test --group check --constraints requirements/run.txt --output-file requirements/dev.txt

.cache/lock/bin/uv:
	@$(PYTHON) scripts/check_python.py
	@rm -rf .cache/lock
	@$(PYTHON) -m venv .cache/lock
	@.cache/lock/bin/python -m pip install --quiet --disable-pip-version-check $(UV)

clean:
	rm -rf .venv .cache .mypy_cache .ruff_cache .pytest_cache .import_linter_cache .hypothesis
