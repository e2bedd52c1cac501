# Two commands matter: `make demo` and `make test`.  Both set up .venv by themselves.
PYTHON ?= $(shell for p in python3.13 python3.12 python3.11 python3; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1 && { echo $$p; break; }; done)
VENV := .venv
BIN := $(VENV)/bin
OUT ?= out

# Files in their own order: by number of tests, the few long ones would come last and alone.
PYTEST := $(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder

# Where lines and branches of the record and the diagnosis are counted: counting doubles the time of
# whatever runs under it, so that nothing else does.
COUNTED := tests/store tests/record tests/faults tests/diagnosis \
	$(shell grep -lE 'wainscot(\.| import )(diagnosis|store)' tests/independent/test_*.py)

.PHONY: demo test checks lint types docs sbom mutate bench study fuzz kernel kernel-check web web-test clean

demo: $(VENV)/.ready
	@$(BIN)/wainscot demo --out $(OUT)

# What is looked at before the tests goes two at a time; what each says stays together where make can
# do that (GNU make 4).
test: $(VENV)/.ready-dev
	@$(MAKE) --no-print-directory -j 2 $(if $(filter output-sync,$(.FEATURES)),-O) checks
	$(PYTEST) $(COUNTED) --cov --cov-report=term:skip-covered --cov-fail-under=95
	$(PYTEST) $(COUNTED:%=--ignore=%)
	@$(MAKE) --no-print-directory mutate

checks: types web-test docs lint kernel-check

# Small faults put into the functions that changed since `python -m study mutation`, three minutes
# at most: whether their tests find them.
mutate: $(VENV)/.ready-dev
	$(BIN)/python -m study.mutation changed

lint: $(VENV)/.ready-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports

types: $(VENV)/.ready-dev
	$(BIN)/mypy

# The handbook as web pages in build/handbook; a warning is an error.
docs: $(VENV)/.ready-dev
	$(BIN)/python -m handbook

# The list of parts (CycloneDX) of what a server needs, in an environment with nothing else.
sbom: $(VENV)/.ready-dev
	$(BIN)/python -m venv --clear build/parts
	build/parts/bin/python -m pip install --quiet --disable-pip-version-check '.[server,proof]'
	$(BIN)/cyclonedx-py environment --pyproject pyproject.toml --output-format JSON \
		--output-file build/sbom.json build/parts/bin/python
	$(BIN)/python -m handbook.licences build/sbom.json

bench: $(VENV)/.ready-dev
	$(BIN)/python -m bench

study: $(VENV)/.ready-dev
	$(BIN)/python -m study

# Bytes that nobody wrote at every door where bytes come in, two minutes a door; no part of `test`.
fuzz: pyproject.toml
	@scripts/setup.sh "$(PYTHON)" $(VENV) '.[dev,fuzz]'
	$(BIN)/python -m fuzz

# The numeric core is committed as WebAssembly; `kernel` rebuilds it, `kernel-check` rebuilds it in
# a folder of its own and compares.
kernel: $(VENV)/.ready-dev
	$(BIN)/python scripts/build_kernel.py

kernel-check: $(VENV)/.ready-dev
	$(BIN)/python scripts/build_kernel.py --check

# The app: built into the package, and its own tests; both want its packages, so that one waits.
web: $(VENV)/.ready-dev
	$(BIN)/python scripts/build_web.py

web-test: web
	$(BIN)/python scripts/build_web.py --test

$(VENV)/.ready: pyproject.toml
	@scripts/setup.sh "$(PYTHON)" $(VENV) .
	@touch $@

$(VENV)/.ready-dev: pyproject.toml
	@scripts/setup.sh "$(PYTHON)" $(VENV) '.[dev]'
	@touch $@ $(VENV)/.ready

clean:
	rm -rf $(VENV) $(OUT) build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .coverage
