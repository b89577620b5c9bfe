# The two commands of the README are `make demo` and `make test`; the rest is for those who work here.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/ready

.PHONY: demo test check bench lock docs clean

demo: $(READY)
	$(BIN)/backseam work src/backseam/samples/barrel.json -o demo

test: $(READY) check
	$(BIN)/pytest -n 2 --cov --cov-report=term

check: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(READY)
	$(BIN)/python -m benchmarks

docs: $(READY)
	$(BIN)/python -m docs.make

lock: $(READY)
	$(BIN)/uv pip compile --universal --generate-hashes --python-version 3.11 --no-header --no-emit-index-url --no-annotate requirements.in -o requirements.lock -q

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-build-isolation --no-deps -e .
	@touch $(READY)

clean:
	rm -rf $(VENV) demo
